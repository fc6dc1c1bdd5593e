package records

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"tussock/layers"
)

// head is the first bytes of a real file, as a seed.
func head(f *testing.F, name string, n int) []byte {
	f.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		f.Fatal(err)
	}
	return data[:min(n, len(data))]
}

// FuzzTable: whatever the bytes, reading ends, without a panic, in one error or
// in rows that are each a record or a reject, and those can be written.
func FuzzTable(f *testing.F) {
	f.Add(head(f, beiLocal, 2000), "", "")
	f.Add(head(f, beiUTM, 2000), "EPSG:32617", "")
	f.Add([]byte("\xff\xfes\x00;\x00"), "", "utf-16")
	f.Add([]byte("sep=;\nscientificName;lon;lat\n\"V\n;1,5;2\n"), "EPSG:4326", "latin1")
	f.Add([]byte("scientificName,footprintWKT\nV,\"POLYGON((0 0,1 0,1 1,0 0))\"\n"), "", "")
	f.Fuzz(func(t *testing.T, data []byte, crs, encoding string) {
		file := filepath.Join(t.TempDir(), "f.csv")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		checkTotal(t, Source{File: file, CRS: crs, Encoding: encoding})
	})
}

// FuzzArchive: the same for a folder with any meta.xml and any text.
func FuzzArchive(f *testing.F) {
	f.Add([]byte(occurrenceMeta), []byte(occurrenceText))
	f.Add([]byte(eventMeta), []byte(eventFiles["event.csv"]))
	f.Fuzz(func(t *testing.T, meta, text []byte) {
		folder := t.TempDir()
		for name, data := range map[string][]byte{"meta.xml": meta, "occurrence.txt": text, "event.csv": text} {
			if err := os.WriteFile(filepath.Join(folder, name), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		checkTotal(t, Source{File: folder})
	})
}

// FuzzZip: the same for any bytes that may be a zip.
func FuzzZip(f *testing.F) {
	var t testing.T
	f.Add(zipOf(&t, map[string]string{"meta.xml": occurrenceMeta, "occurrence.txt": occurrenceText}))
	f.Add(zipOf(&t, eventFiles))
	f.Fuzz(func(t *testing.T, data []byte) {
		file := filepath.Join(t.TempDir(), "f.zip")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		checkTotal(t, Source{File: file})
	})
}

func FuzzMeta(f *testing.F) {
	f.Add([]byte(occurrenceMeta))
	f.Add([]byte(eventMeta))
	f.Fuzz(func(t *testing.T, data []byte) {
		tables, err := readMeta(bytes.NewReader(data), "meta.xml")
		if err == nil && len(tables) == 0 {
			t.Fatal("no error and no core")
		}
	})
}

func FuzzDate(f *testing.F) {
	for _, seed := range []string{"2007-11-13/15", "1963-03-08T14:07-0600", "2024/05/01", "1971"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		i, err := ParseDate(text)
		if err != nil {
			return
		}
		if again, err := ParseDate(i.String()); err != nil || again != i || i.Days() < 1 {
			t.Fatalf("%q is %v, and that %v, %v", text, i, again, err)
		}
	})
}

func checkTotal(t *testing.T, s Source) {
	t.Helper()
	set, err := Read(context.Background(), s, layers.WGS84())
	if err != nil {
		return
	}
	for _, r := range set.Records {
		if r.Species == "" || !utf8.ValidString(r.Species) || r.Source.File == "" || r.UncertaintyM != nil && !(*r.UncertaintyM > 0) {
			t.Fatalf("record %+v", r)
		}
	}
	var out bytes.Buffer
	if err := WriteRejects(&out, layers.Staff, set.Rejects); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	if err != nil || len(rows) != len(set.Rejects)+1 {
		t.Fatalf("%d rows for %d rejects: %v", len(rows), len(set.Rejects), err)
	}
}
