package records

import (
	"bytes"
	"fmt"
	"io"
	"strings"
)

// Bounds on one row, so that no file can fill the memory.
const (
	maxRowBytes = 10 << 20
	maxRowLines = 1000 // a cell with more line ends is taken for a quote left open
	maxColumns  = 4096
	keptText    = 1 << 10 // of a row that is too long
)

// dialect is how a text file sets its cells apart.
type dialect struct {
	delimiter byte
	quote     byte // 0 for none
}

// splitter reads a text row by row. A line ends with LF, CR LF or CR; a quoted
// cell may hold line ends. A row that cannot be split gives one row with a
// reason, and reading goes on with the next line.
type splitter struct {
	lines   lineReader
	dialect dialect
	file    string
}

// fields is one row's cells, or why there are none.
type fields struct {
	cells  []string
	line   int
	blank  bool
	reason Reason
	words  string
	text   string
}

// next is the next row; io.EOF after the last.
func (s *splitter) next() (fields, error) {
	first, err := s.lines.next()
	if err != nil {
		return fields{}, err
	}
	f := fields{line: first.number, blank: len(bytes.TrimSpace(first.text)) == 0 && !first.tooLong}
	if first.tooLong {
		f.reason, f.text = RowTooLong, string(first.text)
		f.words = fmt.Sprintf("the row is longer than %d MB; a missing line end?", maxRowBytes>>20)
		return f, nil
	}
	return f, s.split(&f, first)
}

// split cuts a row that starts with a line, taking further lines where a quote
// is open. Where that fails only the first line is given up: the others are read
// again as rows of their own.
func (s *splitter) split(f *fields, first line) error {
	c := cutter{dialect: s.dialect}
	state := c.line(first.text)
	var taken []line
	for size := len(first.text); state == openQuote && len(taken) < maxRowLines && size <= maxRowBytes; {
		more, err := s.lines.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		taken = append(taken, more)
		if more.tooLong {
			break
		}
		size += len(more.text) + 1
		state = c.line(more.text)
	}
	if state == wholeRow {
		f.cells = c.cells
		return nil
	}
	s.lines.putBack(taken)
	f.text = string(first.text)
	f.reason, f.words = state.reason()
	return nil
}

// cutState is how cutting a row ended.
type cutState uint8

const (
	wholeRow cutState = iota
	openQuote
	textBehindQuote
	tooManyCells
)

func (s cutState) reason() (Reason, string) {
	switch s {
	case openQuote:
		return UnclosedQuote, `a quote is opened and not closed; close it, double a quote that belongs to the text, or set quote: none`
	case textBehindQuote:
		return BadQuote, `text follows a closing quote; double a quote that belongs to the text, or set quote: none`
	}
	return TooManyColumns, fmt.Sprintf("the row has more than %d columns; another delimiter?", maxColumns)
}

// cutter splits one row's lines into cells.
type cutter struct {
	dialect dialect
	cells   []string
	open    bool // within a quoted cell
	cell    strings.Builder
}

// line adds a line to the row.
func (c *cutter) line(text []byte) cutState {
	if c.open {
		c.cell.WriteByte('\n')
	}
	for {
		if len(c.cells) == maxColumns {
			return tooManyCells
		}
		rest, state := c.next(text)
		if state != wholeRow || rest == nil {
			return state
		}
		text = rest
	}
}

// next takes one cell off a line; rest is nil behind the last.
func (c *cutter) next(text []byte) (rest []byte, state cutState) {
	quoted := c.dialect.quote != 0 && len(text) > 0 && text[0] == c.dialect.quote
	if !c.open && quoted {
		c.open, text = true, text[1:]
	}
	if c.open {
		return c.quoted(text)
	}
	end := bytes.IndexByte(text, c.dialect.delimiter)
	if end < 0 {
		c.cells = append(c.cells, string(text))
		return nil, wholeRow
	}
	c.cells = append(c.cells, string(text[:end]))
	return text[end+1:], wholeRow
}

// quoted goes on behind an opened quote.
func (c *cutter) quoted(text []byte) (rest []byte, state cutState) {
	for {
		end := bytes.IndexByte(text, c.dialect.quote)
		if end < 0 {
			c.cell.Write(text)
			return nil, openQuote
		}
		c.cell.Write(text[:end])
		text = text[end+1:]
		switch {
		case len(text) == 0:
			c.finish()
			return nil, wholeRow
		case text[0] == c.dialect.delimiter:
			c.finish()
			return text[1:], wholeRow
		case text[0] != c.dialect.quote:
			return nil, textBehindQuote
		}
		c.cell.WriteByte(c.dialect.quote)
		text = text[1:]
	}
}

func (c *cutter) finish() {
	c.cells = append(c.cells, c.cell.String())
	c.cell, c.open = strings.Builder{}, false
}
