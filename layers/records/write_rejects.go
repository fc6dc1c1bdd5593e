package records

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"tussock/layers"
)

// ErrStaffOnly is returned for an audience that may not see rows as they were.
var ErrStaffOnly = errors.New("records: rows as they were may hold exact places of sensitive species; only staff may have them")

// rejectColumns come before a source's own columns.
var rejectColumns = []string{"reject reason", "reject words", "reject file", "reject line", "reject row text"}

// WriteRejects writes rejects as CSV (UTF-8, RFC 4180): why and where, then the
// row under its own columns. A row that could not be split stands in "reject
// row text".
//
// Spreadsheets run a cell that starts with = + - @, a tab or a carriage return.
// Such a cell, unless it is a plain number, gets an apostrophe in front, and so
// does one in which only apostrophes come before such a character: taking one
// apostrophe away again gives the cell back as it was. Rejects themselves keep
// their cells untouched.
func WriteRejects(w io.Writer, a layers.Audience, rejects []Reject) error {
	if err := a.Check(); err != nil {
		return err
	}
	if a != layers.Staff {
		return ErrStaffOnly
	}
	out := csv.NewWriter(w)
	columns, at := allColumns(rejects)
	header := append([]string(nil), rejectColumns...)
	for _, name := range columns {
		header = append(header, guarded(name))
	}
	if err := out.Write(header); err != nil {
		return fmt.Errorf("records: %w", err)
	}
	line := make([]string, len(header))
	for _, r := range rejects {
		clear(line)
		copy(line, []string{string(r.Reason), guarded(r.Words), guarded(r.Source.File), r.Source.row(), guarded(r.Text)})
		r.fill(line[len(rejectColumns):], at)
		if err := out.Write(line); err != nil {
			return fmt.Errorf("records: %w", err)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("records: %w", err)
	}
	return nil
}

func (o Origin) row() string {
	if o.Line > 0 {
		return strconv.Itoa(o.Line)
	}
	return strconv.FormatInt(o.Feature, 10)
}

// fill puts a row's cells under their columns. Cells beyond the row's own
// columns stand in the columns of allColumns' making.
func (r Reject) fill(line []string, at map[string]int) {
	for i, cell := range r.Row {
		line[at[r.column(i)]] = guarded(cell)
	}
}

func (r Reject) column(i int) string {
	if i < len(r.Columns) {
		return r.Columns[i]
	}
	return "column " + strconv.Itoa(i+1)
}

// allColumns are the columns of all rejects in the order that they come in.
func allColumns(rejects []Reject) ([]string, map[string]int) {
	var columns []string
	at := map[string]int{}
	add := func(name string) {
		if _, known := at[name]; !known {
			at[name] = len(columns)
			columns = append(columns, name)
		}
	}
	for _, r := range rejects {
		for _, name := range r.Columns {
			add(name)
		}
	}
	for _, r := range rejects {
		for i := range r.Row {
			add(r.column(i))
		}
	}
	return columns, at
}

func guarded(cell string) string {
	if cell == "" || plainNumber.MatchString(cell) {
		return cell
	}
	if rest := strings.TrimLeft(cell, "'"); rest != "" && strings.IndexByte("=+-@\t\r", rest[0]) >= 0 {
		return "'" + cell
	}
	return cell
}
