package records

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// splitAll reads a text's rows: cells joined by "|", or the reason in brackets.
func splitAll(t testing.TB, text string, d dialect) []string {
	t.Helper()
	s := &splitter{lines: newLineReader(strings.NewReader(text)), dialect: d}
	var rows []string
	for {
		f, err := s.nextFilled()
		if err == io.EOF {
			return rows
		}
		if err != nil {
			t.Fatal(err)
		}
		if f.reason != "" {
			rows = append(rows, fmt.Sprintf("%d [%s]", f.line, f.reason))
		} else {
			rows = append(rows, fmt.Sprintf("%d %s", f.line, strings.Join(f.cells, "|")))
		}
	}
}

func TestSplitter(t *testing.T) {
	comma, bare := dialect{',', '"'}, dialect{'\t', 0}
	for name, c := range map[string]struct {
		text    string
		dialect dialect
		want    []string
	}{
		"line ends":           {"a,b\nc,d\r\ne,f\rg,h", comma, []string{"1 a|b", "2 c|d", "3 e|f", "4 g|h"}},
		"blank lines":         {"\n\na,b\n  \n\nc\n", comma, []string{"3 a|b", "6 c"}},
		"quotes":              {`"a,b","c ""d""",""` + "\n", comma, []string{`1 a,b|c "d"|`}},
		"quoted line ends":    {"\"a\nb\",c\nd,e\n", comma, []string{"1 a\nb|c", "3 d|e"}},
		"bare quotes":         {"5\" nail,b\n", comma, []string{"1 5\" nail|b"}},
		"text behind quote":   {"\"a\"b,c\nd,e\n", comma, []string{"1 [bad-quote]", "2 d|e"}},
		"quote left open":     {"\"a,b\nc,d\ne,f\n", comma, []string{"1 [unclosed-quote]", "2 c|d", "3 e|f"}},
		"no quotes":           {"\"a\tb\"\nc\td\n", bare, []string{"1 \"a|b\"", "2 c|d"}},
		"trailing delimiters": {"a,\n,b\n", comma, []string{"1 a|", "2 |b"}},
		"nothing":             {"", comma, nil},
	} {
		if got := splitAll(t, c.text, c.dialect); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// An independent engine writes, ours reads: encoding/csv of the Go library.
func TestSplitterReadsWhatCSVWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOf(rapid.SampledFrom([]rune{'a', 'é', ',', '"', '\n', ';', ' ', '\''}))
		rows := rapid.SliceOf(rapid.SliceOfN(cell, 2, 4)).Draw(t, "rows")
		var text bytes.Buffer
		w := csv.NewWriter(&text)
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		s := &splitter{lines: newLineReader(bytes.NewReader(text.Bytes())), dialect: dialect{',', '"'}}
		for i, want := range rows {
			f, err := s.next()
			if err != nil || f.reason != "" || !slices.Equal(f.cells, want) {
				t.Fatalf("row %d: %q, %s, %v; want %q in %q", i, f.cells, f.reason, err, want, text.String())
			}
		}
		if _, err := s.next(); err != io.EOF {
			t.Fatalf("more than was written: %v", err)
		}
	})
}

func TestRowTooLong(t *testing.T) {
	long := strings.Repeat("é", maxRowBytes/2+10)
	got := splitAll(t, "a,b\n"+long+",c\nd,e\n", dialect{',', '"'})
	if want := []string{"1 a|b", "2 [row-too-long]", "3 d|e"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := splitAll(t, strings.Repeat(",", maxColumns)+"\na\n", dialect{',', '"'}); !slices.Equal(got, []string{"1 [too-many-columns]", "2 a"}) {
		t.Errorf("too many cells: %q", got)
	}
}

// Quotes that open again and again must not make reading slow: each line here
// would, by itself, take all that follow.
func TestManyOpenQuotes(t *testing.T) {
	t.Parallel()
	const lines = 5000
	s := &splitter{lines: newLineReader(strings.NewReader(strings.Repeat("5\",5\",\"\n", lines))), dialect: dialect{',', '"'}}
	rows := 0
	for {
		f, err := s.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if rows++; f.reason != UnclosedQuote {
			t.Fatalf("row %d: %q %s", rows, f.cells, f.reason)
		}
	}
	if rows != lines {
		t.Errorf("%d rows of %d lines", rows, lines)
	}
}

func TestLikeliestDelimiter(t *testing.T) {
	for header, want := range map[string]byte{
		"a,b,c": ',', "a;b;c": ';', "a\tb\tc": '\t', "a|b": '|', "one": ',', `"a,b,c";d;e`: ';',
	} {
		if got := likeliest([]byte(header), '"'); got != want {
			t.Errorf("%q: %q, want %q", header, got, want)
		}
	}
}

func TestUniqueNames(t *testing.T) {
	got := uniqueNames([]string{"a", "", "a", "a", "a (2)", ""})
	want := []string{"a", "column 2", "a (2)", "a (3)", "a (2) (2)", "column 6"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
