package records

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"path/filepath"
	"slices"
	"strings"
)

// openArchive finds the occurrences of an archive: its core, or an extension
// whose rows are joined with their core row (the event that they were met at).
func openArchive(a *archive) (*table, error) {
	t, err := a.occurrences()
	if err != nil {
		return nil, errors.Join(err, a.close())
	}
	t.close = a.close
	return t, nil
}

func (a *archive) occurrences() (*table, error) {
	tables, err := a.tables()
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(tables, isOccurrence)
	if at < 0 {
		return nil, fmt.Errorf("%w: %s: none of its tables has rowType http://rs.tdwg.org/dwc/terms/Occurrence", ErrArchive, a.file)
	}
	if at == 0 {
		return a.core(tables)
	}
	return a.joined(tables, at)
}

// tables are the archive's tables, the core first.
func (a *archive) tables() ([]metaTable, error) {
	f, err := a.open("meta.xml")
	if err != nil {
		return nil, err
	}
	tables, err := readMeta(f, filepath.Join(a.file, "meta.xml"))
	return tables, errors.Join(err, f.Close())
}

// isOccurrence knows the row type of today's guide and that of the time when a
// whole simple record was one.
func isOccurrence(t metaTable) bool {
	name := plain(t.rowType)
	return name == "occurrence" || name == "simpledarwinrecord"
}

func isEffort(rowType string) bool {
	return strings.HasPrefix(rowType, "http://rs.tdwg.org/eco/terms/")
}

// core reads a core of occurrences; its extensions are left aside.
func (a *archive) core(tables []metaTable) (*table, error) {
	width, err := a.width(&tables[0])
	if err != nil {
		return nil, err
	}
	t := &table{names: tables[0].names(width), rows: a.rows(&tables[0], width)}
	for _, other := range tables[1:] {
		t.notes = append(t.notes, "extension left aside: "+shortTerm(other.rowType))
	}
	return t, nil
}

// names are a table's columns: terms by index, then constants.
func (t *metaTable) names(width int) []string {
	names := make([]string, width)
	if t.key >= 0 {
		names[t.key] = "id"
	}
	for _, f := range t.fields {
		if f.index >= 0 {
			names[f.index] = f.name
		} else {
			names = append(names, f.name)
		}
	}
	return uniqueNames(names)
}

// width is how many columns a table's text has: those that meta.xml names, and
// those that it leaves out.
func (a *archive) width(t *metaTable) (int, error) {
	width := t.key + 1
	for _, f := range t.fields {
		width = max(width, f.index+1)
	}
	for f, err := range a.fields(t, 0) {
		if err != nil {
			return 0, err
		}
		return max(width, len(f.cells)), nil
	}
	return width, nil
}

// filed is a row's fields and the file that they are from.
type filed struct {
	fields
	file string
}

// fields are the rows of a table, file by file, from a line of each file on.
func (a *archive) fields(t *metaTable, skip int) iter.Seq2[filed, error] {
	return func(yield func(filed, error) bool) {
		for _, location := range t.locations {
			if !a.fieldsOf(t, location, skip, yield) {
				return
			}
		}
	}
}

func (a *archive) fieldsOf(t *metaTable, location string, skip int, yield func(filed, error) bool) bool {
	f, err := a.open(location)
	if err != nil {
		return yield(filed{}, err)
	}
	defer f.Close()
	name := filepath.Join(a.file, location)
	split := &splitter{lines: newLineReader(newTextReader(f, name, t.encoding)), dialect: t.dialect, file: name}
	for i := 0; ; i++ {
		var row fields
		if i < skip {
			_, err = split.next()
		} else {
			row, err = split.nextFilled()
		}
		switch {
		case err == io.EOF:
			return true
		case err != nil:
			yield(filed{}, err)
			return false
		case i >= skip && !yield(filed{row, name}, nil):
			return false
		}
	}
}

// rows are a table's data rows, defaults filled in.
func (a *archive) rows(t *metaTable, width int) iter.Seq2[row, error] {
	return func(yield func(row, error) bool) {
		for f, err := range a.fields(t, t.header) {
			if err != nil {
				yield(row{}, err)
				return
			}
			r := f.row(f.file, width)
			if r.reason == "" {
				r.cells = t.filled(r.cells)
			}
			if !yield(r, nil) {
				return
			}
		}
	}
}

// filled puts defaults into empty cells and constants behind the last.
func (t *metaTable) filled(cells []string) []string {
	for _, f := range t.fields {
		switch {
		case f.index < 0:
			cells = append(cells, f.fallback)
		case cells[f.index] == "":
			cells[f.index] = f.fallback
		}
	}
	return cells
}
