package records

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"strings"
)

// opener opens a text once more, from its start.
type opener func() (io.ReadCloser, error)

func fileOpener(name string) opener {
	return func() (io.ReadCloser, error) {
		f, err := os.Open(name)
		if err != nil {
			return nil, fmt.Errorf("records: %w", err)
		}
		return f, nil
	}
}

// openDelimited opens a table whose first row names its columns.
func openDelimited(s Source, open opener) (*table, error) {
	enc, note, err := encodingOf(s, open)
	if err != nil {
		return nil, err
	}
	f, err := open()
	if err != nil {
		return nil, err
	}
	t, err := newDelimited(newTextReader(f, s.File, enc), s)
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	if note != "" {
		t.notes = append(t.notes, note)
	}
	t.close = f.Close
	return t, nil
}

// encodingOf is a table's encoding as the project says, or as its bytes look.
func encodingOf(s Source, open opener) (enc encoding, note string, err error) {
	if s.Encoding != "" {
		enc, err = encodingByName(s.Encoding)
		return enc, "", err
	}
	f, err := open()
	if err != nil {
		return enc, "", err
	}
	defer f.Close()
	enc, err = detectEncoding(f, s.File)
	if err == nil && enc.name != utf8Encoding.name {
		note = "read as " + enc.name + ", judging by its bytes"
	}
	return enc, note, err
}

// newDelimited reads the header of a decoded table.
func newDelimited(r io.Reader, s Source) (*table, error) {
	d, err := s.dialect()
	if err != nil {
		return nil, err
	}
	split := &splitter{lines: newLineReader(r), dialect: d, file: s.File}
	t := &table{}
	if d.delimiter == 0 {
		if err := split.sniff(); err != nil {
			return nil, headerError(s.File, err)
		}
		if split.dialect.delimiter != ',' {
			t.notes = append(t.notes, "columns are set apart by "+delimiterName(split.dialect.delimiter))
		}
	}
	header, err := split.nextFilled()
	if err != nil {
		return nil, headerError(s.File, err)
	}
	if header.reason != "" {
		return nil, fmt.Errorf("records: %s:%d: the header row cannot be read: %s", s.File, header.line, header.words)
	}
	t.names = uniqueNames(header.cells)
	t.rows = split.rows(t.names)
	return t, nil
}

func headerError(file string, err error) error {
	if err == io.EOF {
		return fmt.Errorf("records: %s is empty\nhint: its first row must name the columns, such as scientificName,decimalLongitude,decimalLatitude", file)
	}
	return err
}

// sniff chooses the delimiter that the header row holds most often. A first
// line sep=; (a spreadsheet's own hint) is taken at its word.
func (s *splitter) sniff() error {
	for {
		first, err := s.lines.next()
		if err != nil {
			return err
		}
		text := bytes.TrimSpace(first.text)
		if len(text) == 0 && !first.tooLong {
			continue
		}
		if len(text) == 5 && strings.EqualFold(string(text[:4]), "sep=") {
			s.dialect.delimiter = text[4]
			return nil
		}
		s.dialect.delimiter = likeliest(first.text, s.dialect.quote)
		s.lines.putBack([]line{first})
		return nil
	}
}

// likeliest counts delimiters outside quotes; a tie goes to the earlier of
// comma, semicolon, tab and bar.
func likeliest(header []byte, quote byte) byte {
	const known = ",;\t|"
	var counts [len(known)]int
	quoted := false
	for _, c := range header {
		if c == quote && quote != 0 {
			quoted = !quoted
		} else if i := strings.IndexByte(known, c); i >= 0 && !quoted {
			counts[i]++
		}
	}
	best := 0
	for i, n := range counts {
		if n > counts[best] {
			best = i
		}
	}
	return known[best]
}

func delimiterName(c byte) string {
	switch c {
	case '\t':
		return "tabs"
	case ';':
		return "semicolons"
	case '|':
		return "bars"
	}
	return fmt.Sprintf("%q", c)
}

// nextFilled is the next row that is not a blank line.
func (s *splitter) nextFilled() (fields, error) {
	for {
		f, err := s.next()
		if err != nil || !f.blank {
			return f, err
		}
	}
}

// rows are the rows behind the header. Blank lines are no rows.
func (s *splitter) rows(names []string) iter.Seq2[row, error] {
	return func(yield func(row, error) bool) {
		for {
			f, err := s.nextFilled()
			if err == io.EOF {
				return
			}
			if !yield(f.row(s.file, len(names)), err) || err != nil {
				return
			}
		}
	}
}

// row holds a row against the number of columns. Empty cells behind the last
// column, as spreadsheets leave them, are no cells.
func (f fields) row(file string, columns int) row {
	r := row{cells: f.cells, source: Origin{File: file, Line: f.line}, reason: f.reason, words: f.words, text: f.text}
	if r.reason != "" {
		return r
	}
	for len(r.cells) > columns && strings.TrimSpace(r.cells[len(r.cells)-1]) == "" {
		r.cells = r.cells[:len(r.cells)-1]
	}
	switch {
	case allBlank(r.cells):
		r.reason, r.words = EmptyRow, "all cells are empty"
	case len(r.cells) < columns:
		r.reason, r.words = TooFewColumns, fmt.Sprintf("%d cells where the header has %d", len(r.cells), columns)
	case len(r.cells) > columns:
		r.reason = TooManyColumns
		r.words = fmt.Sprintf("%d cells where the header has %d; quote a cell that holds the delimiter, such as a number with a decimal comma", len(r.cells), columns)
	}
	return r
}

func allBlank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

// uniqueNames gives every column a name of its own: one without a name becomes
// "column 3", and a second "notes" becomes "notes (2)".
func uniqueNames(header []string) []string {
	names, seen := make([]string, len(header)), map[string]int{}
	for i, name := range header {
		name = strings.TrimSpace(name)
		if name == "" {
			name = fmt.Sprintf("column %d", i+1)
		}
		base := name
		for seen[name] > 0 {
			seen[base]++
			name = fmt.Sprintf("%s (%d)", base, seen[base])
		}
		seen[name]++
		names[i] = name
	}
	return names
}
