package records

import (
	"fmt"
	"time"
)

// Source is a source of records and what a project says about it. Only File
// must be given.
type Source struct {
	// File is a table (.csv, .tsv, .txt, .tab), a Darwin Core archive (a .zip,
	// or a folder with a meta.xml), or any vector source.
	File  string
	Layer string // of a vector source with several
	Where string // attribute filter of a vector source

	// Fields names the source's own column for a Darwin Core term, as in
	// {scientificName: sp, eventDate: day}; x and y count as terms.
	Fields map[string]string
	// Values stand in where a term has no column or a cell is empty.
	Values map[string]string

	// CRS is the coordinate reference system of x and y where their rows do not
	// name one in verbatimSRS, and of a vector layer that has none. Empty where
	// there is nothing to say.
	CRS string
	// Square is the side, in metres, of the squares that places are given to; an
	// uncertainty that is missing becomes half their diagonal. 0 for none.
	Square float64

	Encoding     string // of a table; empty looks
	Delimiter    string // one character; empty looks
	Quote        string // one character, or "none"; empty is a double quote
	DecimalComma bool   // numbers have a comma for the point

	// Today is the project's reference date: later records are rejected. Zero
	// checks nothing.
	Today time.Time
}

// dialect is what the project says of a table's form; 0 where it says nothing.
func (s Source) dialect() (dialect, error) {
	d := dialect{quote: '"'}
	switch {
	case s.Delimiter == `\t` || s.Delimiter == "tab":
		d.delimiter = '\t'
	case len(s.Delimiter) == 1:
		d.delimiter = s.Delimiter[0]
	case s.Delimiter != "":
		return d, fmt.Errorf("records: %s: delimiter %q is not one character\nhint: use \",\", \";\", \"|\" or tab", s.File, s.Delimiter)
	}
	switch {
	case s.Quote == "none":
		d.quote = 0
	case len(s.Quote) == 1:
		d.quote = s.Quote[0]
	case s.Quote != "":
		return d, fmt.Errorf("records: %s: quote %q is not one character\nhint: leave it out, or say none", s.File, s.Quote)
	}
	if d.delimiter != 0 && d.delimiter == d.quote {
		return d, fmt.Errorf("records: %s: delimiter and quote are both %q", s.File, s.Delimiter)
	}
	return d, nil
}
