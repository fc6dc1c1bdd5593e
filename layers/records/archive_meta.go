package records

import (
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// metaXML is a meta.xml as the Darwin Core text guide defines it (Darwin Core
// Maintenance Group, TDWG 2021).
type metaXML struct {
	XMLName    xml.Name   `xml:"archive"`
	Cores      []tableXML `xml:"core"`
	Extensions []tableXML `xml:"extension"`
}

type tableXML struct {
	RowType    string     `xml:"rowType,attr"`
	Encoding   string     `xml:"encoding,attr"`
	Terminator *string    `xml:"fieldsTerminatedBy,attr"`
	LineEnd    *string    `xml:"linesTerminatedBy,attr"`
	Enclosure  *string    `xml:"fieldsEnclosedBy,attr"`
	Header     string     `xml:"ignoreHeaderLines,attr"`
	Locations  []string   `xml:"files>location"`
	ID         *fieldXML  `xml:"id"`
	CoreID     *fieldXML  `xml:"coreid"`
	Fields     []fieldXML `xml:"field"`
}

type fieldXML struct {
	Index   *string `xml:"index,attr"`
	Term    string  `xml:"term,attr"`
	Default *string `xml:"default,attr"`
}

// metaTable is one table of an archive, checked.
type metaTable struct {
	rowType   string
	encoding  encoding
	dialect   dialect
	header    int
	locations []string
	key       int // column of id or coreid; -1 where there is none
	fields    []metaField
}

// metaField is one column's term; index -1 is a constant.
type metaField struct {
	index    int
	name     string
	fallback string
}

// readMeta reads a meta.xml: the core first, then the extensions.
func readMeta(r io.Reader, file string) ([]metaTable, error) {
	wrong := func(format string, args ...any) error {
		return fmt.Errorf("%w: %s: %s", ErrArchive, file, fmt.Sprintf(format, args...))
	}
	text, err := io.ReadAll(io.LimitReader(r, metaFileBytes+1))
	if err != nil {
		return nil, wrong("%v", err)
	}
	if len(text) > metaFileBytes {
		return nil, wrong("it is longer than %d bytes", metaFileBytes)
	}
	var meta metaXML
	if err := xml.Unmarshal(text, &meta); err != nil {
		return nil, wrong("%v", err)
	}
	if len(meta.Cores) != 1 {
		return nil, wrong("%d core elements where there must be one", len(meta.Cores))
	}
	var tables []metaTable
	for i, x := range append(meta.Cores, meta.Extensions...) {
		t, err := x.check(i == 0, len(meta.Extensions) > 0)
		if err != nil {
			return nil, wrong("%s: %v", tableElement(i), err)
		}
		tables = append(tables, t)
	}
	return tables, nil
}

func tableElement(i int) string {
	if i == 0 {
		return "core"
	}
	return fmt.Sprintf("extension %d", i)
}

// check holds a table's element against the guide and fills its defaults.
func (x tableXML) check(isCore, hasExtensions bool) (metaTable, error) {
	t := metaTable{rowType: x.RowType, key: -1, encoding: utf8Encoding}
	if x.RowType == "" {
		return t, fmt.Errorf("no rowType")
	}
	if err := x.checkForm(&t); err != nil {
		return t, err
	}
	for _, l := range x.Locations {
		t.locations = append(t.locations, strings.TrimSpace(l))
	}
	if len(t.locations) == 0 {
		return t, fmt.Errorf("no files with a location")
	}
	key, name := x.ID, "id"
	if !isCore {
		key, name = x.CoreID, "coreid"
	}
	if key == nil && (!isCore || hasExtensions) {
		return t, fmt.Errorf("no %s element, which an archive with extensions needs", name)
	}
	if key != nil {
		at, err := key.column()
		if err != nil || at < 0 {
			return t, fmt.Errorf("%s needs an index from 0 to %d", name, maxColumns-1)
		}
		t.key = at
	}
	return t, x.checkFields(&t)
}

// checkForm reads how the text is set.
func (x tableXML) checkForm(t *metaTable) (err error) {
	if x.Encoding != "" {
		if t.encoding, err = encodingByName(x.Encoding); err != nil {
			return err
		}
	}
	t.dialect = dialect{delimiter: ',', quote: '"'}
	if x.Terminator != nil {
		c := unescape(*x.Terminator)
		if len(c) != 1 {
			return fmt.Errorf("fieldsTerminatedBy %q is not one character", *x.Terminator)
		}
		t.dialect.delimiter = c[0]
	}
	if x.Enclosure != nil {
		c := unescape(*x.Enclosure)
		if len(c) > 1 {
			return fmt.Errorf("fieldsEnclosedBy %q is not one character", *x.Enclosure)
		}
		t.dialect.quote = 0
		if len(c) == 1 {
			t.dialect.quote = c[0]
		}
	}
	if t.dialect.quote == t.dialect.delimiter {
		return fmt.Errorf("fieldsTerminatedBy and fieldsEnclosedBy are the same")
	}
	if x.LineEnd != nil {
		if c := unescape(*x.LineEnd); c != "\n" && c != "\r\n" && c != "\r" {
			return fmt.Errorf("linesTerminatedBy %q is no line end", *x.LineEnd)
		}
	}
	if x.Header != "" {
		if t.header, err = strconv.Atoi(strings.TrimSpace(x.Header)); err != nil || t.header < 0 || t.header > 1000 {
			return fmt.Errorf("ignoreHeaderLines %q is no number from 0 to 1000", x.Header)
		}
	}
	return nil
}

func unescape(text string) string {
	return strings.NewReplacer(`\t`, "\t", `\n`, "\n", `\r`, "\r", `\\`, `\`).Replace(text)
}

func (x tableXML) checkFields(t *metaTable) error {
	for _, f := range x.Fields {
		at, err := f.column()
		switch {
		case f.Term == "":
			return fmt.Errorf("a field has no term")
		case err != nil:
			return fmt.Errorf("field %s: %w", f.Term, err)
		case at < 0 && f.Default == nil:
			return fmt.Errorf("field %s has neither index nor default", f.Term)
		}
		field := metaField{index: at, name: shortTerm(f.Term)}
		if f.Default != nil {
			field.fallback = *f.Default
		}
		t.fields = append(t.fields, field)
	}
	if len(t.fields) > maxColumns {
		return fmt.Errorf("more than %d fields", maxColumns)
	}
	return nil
}

// column is a field's index, -1 where it has none.
func (f fieldXML) column() (int, error) {
	if f.Index == nil {
		return -1, nil
	}
	at, err := strconv.Atoi(strings.TrimSpace(*f.Index))
	if err != nil || at < 0 || at >= maxColumns {
		return 0, fmt.Errorf("index %q is no number from 0 to %d", *f.Index, maxColumns-1)
	}
	return at, nil
}

// shortTerm is a term's name without its namespace.
func shortTerm(iri string) string { return iri[strings.LastIndexAny(iri, "/#")+1:] }
