package gdal

import (
	"errors"
	"fmt"
	"strings"
)

// ErrClosed is returned by whatever is asked of a closed handle, a second Close
// included.
var ErrClosed = errors.New("gdal: already closed")

// Error is what GDAL, PROJ or GEOS could not do, and where.
type Error struct {
	Op      string    // "open", "read", …
	Path    string    // the source; "" where there is none
	Layer   string    // vector layer; "" where there is none
	Feature int64     // its feature; −1 where none is known
	Band    int       // raster band, from 1; 0 where there is none
	Block   *[2]int   // the first block that failed, by column and row of blocks
	Cells   *[4]int   // its cells: first column and row, columns, rows
	Text    string    // the library's words
	Notes   []Message // all that was said, warnings included
}

func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString("gdal: cannot " + e.Op)
	if e.Path != "" {
		b.WriteString(" " + e.Path)
	}
	if e.Layer != "" {
		fmt.Fprintf(&b, ", layer %s", e.Layer)
		if e.Feature >= 0 {
			fmt.Fprintf(&b, ", feature %d", e.Feature)
		}
	}
	if e.Band > 0 {
		fmt.Fprintf(&b, ", band %d", e.Band)
	}
	if e.Block != nil {
		fmt.Fprintf(&b, ", block %d, %d (columns %d to %d, rows %d to %d)", e.Block[0], e.Block[1],
			e.Cells[0], e.Cells[0]+e.Cells[2]-1, e.Cells[1], e.Cells[1]+e.Cells[3]-1)
	}
	return b.String() + ": " + e.reason()
}

// reason is the library's words without the path that drivers put in front,
// some of them twice.
func (e *Error) reason() string {
	text := e.Text
	for e.Path != "" {
		rest, repeated := strings.CutPrefix(text, e.Path+":")
		if !repeated {
			break
		}
		text = strings.TrimSpace(rest)
	}
	return text
}

// Message is one thing that a library said.
type Message struct {
	Warning bool // no failure
	Number  int  // GDAL's error number
	Text    string
}

// Error classes of cpl_error.h.
const (
	classWarning = 2
	classFailure = 3
)

func messages(log packet) (list []Message) {
	for len(log) > 0 {
		class := log.int()
		m := Message{Warning: class < classFailure, Number: log.int(), Text: strings.TrimSpace(log.text())}
		list = append(list, m)
	}
	return list
}

// first is the first failure, else the first warning.
func first(list []Message) string {
	for _, m := range list {
		if !m.Warning {
			return m.Text
		}
	}
	if len(list) > 0 {
		return list[0].Text
	}
	return "no reason was given"
}
