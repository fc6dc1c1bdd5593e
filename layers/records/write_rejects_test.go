package records

import (
	"bytes"
	"encoding/csv"
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"tussock/layers"
)

func TestWriteRejects(t *testing.T) {
	rejects := []Reject{
		{Source: Origin{File: "a.csv", Line: 7}, Reason: BadNumber, Words: "x is no number", Columns: []string{"name", "x"}, Row: []string{"=cmd()", "-79.86"}},
		{Source: Origin{File: "b.gpkg", Layer: "l", Feature: 3}, Reason: MissingName, Words: "w", Columns: []string{"x", "notes"}, Row: []string{"1", "@here"}},
		{Source: Origin{File: "a.csv", Line: 9}, Reason: BadQuote, Words: "w", Columns: []string{"name", "x"}, Text: "\t\"a\"b"},
		{Source: Origin{File: "a.csv", Line: 10}, Reason: TooManyColumns, Words: "w", Columns: []string{"name", "x"}, Row: []string{"v", "1", "5"}},
	}
	var out bytes.Buffer
	if err := WriteRejects(&out, layers.Staff, rejects); err != nil {
		t.Fatal(err)
	}
	want := `reject reason,reject words,reject file,reject line,reject row text,name,x,notes,column 3
bad-number,x is no number,a.csv,7,,'=cmd(),-79.86,,
missing-name,w,b.gpkg,3,,,1,'@here,
bad-quote,w,a.csv,9,"'	""a""b",,,,
too-many-columns,w,a.csv,10,,v,1,,5
`
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
	for _, a := range []layers.Audience{layers.Public, layers.Volunteer, layers.Partner} {
		if err := WriteRejects(&out, a, rejects); !errors.Is(err, ErrStaffOnly) {
			t.Errorf("%v: %v", a, err)
		}
	}
	if err := WriteRejects(&out, 0, rejects); !errors.Is(err, layers.ErrNoAudience) {
		t.Errorf("nobody: %v", err)
	}
}

// Laws: no guarded cell runs in a spreadsheet, and taking one apostrophe away
// gives back whatever was guarded.
func TestGuardedCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOf(rapid.SampledFrom([]rune("=+-@\t\r'1.a"))).Draw(t, "cell")
		got := guarded(cell)
		if got != "" && strings.ContainsRune("=+-@\t\r", rune(got[0])) && !plainNumber.MatchString(got) {
			t.Fatalf("%q would run", got)
		}
		if got != cell && got[1:] != cell {
			t.Fatalf("%q became %q", cell, got)
		}
		if rest := strings.TrimLeft(got, "'"); got == cell && got != rest && rest != "" && strings.ContainsRune("=+-@\t\r", rune(rest[0])) {
			t.Fatalf("%q looks guarded and is not", got)
		}
	})
}

// Every cell of a rejected row is in the file.
func TestRejectsKeepTheirRows(t *testing.T) {
	set := mustRead(t, "scientificName,decimalLongitude,decimalLatitude,notes\n,1,2,\"a \"\"note\"\", with all\"\nV,x,2,=1+1\n", Source{}, layers.WGS84())
	var out bytes.Buffer
	if err := WriteRejects(&out, layers.Staff, set.Rejects); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%v, %v", rows, err)
	}
	if !slices.Equal(rows[1][5:], []string{"", "1", "2", `a "note", with all`}) || !slices.Equal(rows[2][5:], []string{"V", "x", "2", "'=1+1"}) {
		t.Errorf("%q", rows[1:])
	}
}
