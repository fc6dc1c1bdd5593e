package records

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"tussock/layers"
)

func crs(t testing.TB, text string) layers.CRS {
	t.Helper()
	c, err := layers.ParseCRS(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// read writes a text to a file and reads it.
func read(t testing.TB, text string, s Source, to layers.CRS) (Set, error) {
	t.Helper()
	s.File = filepath.Join(t.TempDir(), "records.csv")
	if err := os.WriteFile(s.File, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return Read(context.Background(), s, to)
}

func mustRead(t testing.TB, text string, s Source, to layers.CRS) Set {
	t.Helper()
	set, err := read(t, text, s, to)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// Terms in any case, with or without namespace, in any order.
func TestReadDarwinCoreTerms(t *testing.T) {
	const text = "dwc:DECIMALLATITUDE;http://rs.tdwg.org/dwc/terms/decimalLongitude;scientific_name;eventDate;geodeticDatum;" +
		"coordinateUncertaintyInMeters;coordinatePrecision;basisOfRecord;occurrenceStatus;individualCount;recordedBy;" +
		"dataGeneralizations;informationWithheld;occurrenceID;locality\n" +
		"51.5;-1.25;Vipera berus;2024-05-01;WGS84;30;0.0001;HumanObservation;PRESENT;2;A. Recorder;to 100 m;name of finder;r-1;by the wall\n"
	set := mustRead(t, text, Source{}, layers.WGS84())
	if len(set.Records) != 1 || len(set.Rejects) != 0 {
		t.Fatalf("%+v", set)
	}
	r := set.Records[0]
	if r.ID != "r-1" || r.Species != "Vipera berus" || r.Date.String() != "2024-05-01" || r.Given != (orb.Point{-1.25, 51.5}) ||
		r.Point != r.Given || *r.UncertaintyM != 30 || r.Precision != 0.0001 || r.Basis != "HumanObservation" ||
		r.Status != Present || *r.Count != 2 || r.Recorder != "A. Recorder" || r.Generalised != "to 100 m" || r.Withheld != "name of finder" {
		t.Errorf("%+v", r)
	}
	if r.Raw["locality"] != "by the wall" || r.Source.Line != 2 || !strings.HasSuffix(r.Source.String(), "records.csv:2") {
		t.Errorf("raw %v at %v", r.Raw, r.Source)
	}
	if !slices.Contains(set.Notes, "columns are set apart by semicolons") {
		t.Errorf("notes %q", set.Notes)
	}
}

// One row for every reason that a cell can give.
func TestReasons(t *testing.T) {
	const header = "scientificName,decimalLongitude,decimalLatitude,geodeticDatum,eventDate,occurrenceStatus,footprintWKT\n"
	today := time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		row    string
		reason Reason
		words  string
	}{
		{"V,1,2,,,,", "", ""},
		{"V,1,2,EPSG:4326,2026-06-01,absent,", "", ""},
		{"V,1,2,,2026,,", "", ""},
		{"V,1,2,not recorded,,,", "", ""},
		{",1,2,,,,", MissingName, "scientificName"},
		{"  ,1,2,,,,", MissingName, "scientificName"},
		{"V,,,,,,", MissingCoordinate, "no place"},
		{"V,1,,,,,", MissingCoordinate, "decimalLatitude is empty"},
		{"V,0,0.000,,,,", ZeroCoordinate, "0"},
		{"V,0,52,,,,", "", ""},
		{"V,181,2,,,,", OutOfBounds, "180"},
		{"V,52,-91,,,,", OutOfBounds, "swapped"},
		{"V,179,-91,,,,", OutOfBounds, "90"},
		{"V,NaN,2,,,,", NotFinite, "decimalLongitude"},
		{"V,1,inf,,,,", NotFinite, "decimalLatitude"},
		{`V,"1,5",2,,,,`, BadNumber, "decimal comma; write 1.5"},
		{"V,x,2,,,,", BadNumber, "no number"},
		{"V,1,2,Atlantis 1900,,,", UnknownDatum, "EPSG:4326"},
		{"V,1,2,EPSG:32617,,,", UnknownDatum, "verbatimSRS"},
		{"V,1,2,,12/05/2024,,", BadDate, "either way"},
		{"V,1,2,,2026-06-02,,", FutureDate, "2026-06-01"},
		{"V,1,2,,2027,,", FutureDate, "2026-06-01"},
		{"V,1,2,,,maybe,", BadStatus, "maybe"},
		{"V,1,2", TooFewColumns, "3 cells where the header has 7"},
		{"V,1,2,,,,,,", "", ""},
		{"V,1,5,2,,,,x", TooManyColumns, "decimal comma"},
		{",,,,,,", EmptyRow, "empty"},
		{`V,1,2,,"x"y,,`, BadQuote, "quote"},
		{"V,,,,,,POINT(3 4)", "", ""},
		{"V,,,,,,POINT(3", BadGeometry, "well-known text"},
		{"V,,,,,,POINT(3 400)", OutOfBounds, "90"},
	} {
		set := mustRead(t, header+c.row+"\n", Source{Today: today}, layers.WGS84())
		if set.Rows() != 1 {
			t.Errorf("%q: %d rows", c.row, set.Rows())
			continue
		}
		if c.reason == "" {
			if len(set.Records) != 1 {
				t.Errorf("%q: rejected as %s: %s", c.row, set.Rejects[0].Reason, set.Rejects[0].Words)
			}
			continue
		}
		if len(set.Rejects) != 1 || set.Rejects[0].Reason != c.reason || !strings.Contains(set.Rejects[0].Words, c.words) {
			t.Errorf("%q: %+v; want %s with %q", c.row, set.Rejects, c.reason, c.words)
		}
	}
}

// Zero is no uncertainty (Darwin Core Quick Reference Guide), and what is
// missing stays missing.
func TestUncertainty(t *testing.T) {
	const header = "scientificName,decimalLongitude,decimalLatitude,coordinateUncertaintyInMeters,coordinatePrecision\n"
	for _, c := range []struct {
		row    string
		square float64
		want   float64 // 0 for unknown
		note   string
	}{
		{"V,1.12345,0.12345,30,", 0, 30, ""},
		{"V,1.12345,0.12345,0,", 0, 0, noteUncertainty},
		{"V,1.12345,0.12345,-5,", 0, 0, noteUncertainty},
		{"V,1.12345,0.12345,100 m,", 0, 0, noteUncertainty},
		{"V,1.12345,0.12345,NaN,", 0, 0, noteUncertainty},
		{"V,1.12345,0.12345,,", 0, 0, ""},
		{"V,1.12345,0.12345,,0", 0, 0, notePrecision},
		{"V,1.01,0.00,,0.01", 0, 1569.0347, noteStep}, // Chapman & Wieczorek 2020, precision 0.01° at the equator
		{"V,1.12345,0.12345,,", 1000, 707.10678, noteSquare},
		{"V,1.1,0.1,30,", 0, 30, noteTooSure},
	} {
		set := mustRead(t, header+c.row+"\n", Source{Square: c.square}, layers.WGS84())
		if len(set.Records) != 1 {
			t.Fatalf("%q: %+v", c.row, set.Rejects)
		}
		r := set.Records[0]
		got := 0.0
		if r.UncertaintyM != nil {
			got = *r.UncertaintyM
		}
		if math.Abs(got-c.want) > 1e-3 || (r.UncertaintyM != nil) != (c.want != 0) {
			t.Errorf("%q: %v m, want %v", c.row, got, c.want)
		}
		if c.note != "" && !slices.Contains(r.Notes, c.note) {
			t.Errorf("%q: notes %q lack %q", c.row, r.Notes, c.note)
		}
	}
}

func TestDatumAssumedIsNoted(t *testing.T) {
	set := mustRead(t, "scientificName,decimalLongitude,decimalLatitude\nV,1,2\n", Source{}, layers.WGS84())
	if len(set.Records) != 1 || !slices.Contains(set.Records[0].Notes, noteDatum) {
		t.Errorf("%+v", set)
	}
}

func TestUnusableSources(t *testing.T) {
	utm := crs(t, "EPSG:32617")
	for name, c := range map[string]struct {
		text  string
		s     Source
		words string
	}{
		"empty":           {"", Source{}, "is empty"},
		"no species":      {"decimalLongitude,decimalLatitude\n1,2\n", Source{}, "scientificName"},
		"near species":    {"scientifcName,decimalLongitude,decimalLatitude\nV,1,2\n", Source{}, "is it scientifcName?"},
		"no place":        {"scientificName,where\nV,here\n", Source{}, "no columns for a place"},
		"no CRS":          {"scientificName,x,y\nV,1,2\n", Source{}, "crs: EPSG"},
		"bad CRS":         {"scientificName,x,y\nV,1,2\n", Source{CRS: "EPSG:nonsense"}, "EPSG:nonsense"},
		"unknown term":    {"sp,x,y\nV,1,2\n", Source{Fields: map[string]string{"scientificNam": "sp"}}, "did you mean scientificName"},
		"unknown column":  {"sp,lon,lat\nV,1,2\n", Source{Fields: map[string]string{"scientificName": "spp"}}, "did you mean sp"},
		"delimiter":       {"a\n", Source{Delimiter: ",,"}, "one character"},
		"wrong encoding":  {"scientificName,lon,lat\nZo\xeb,1,2\n", Source{Encoding: "utf-8"}, "records.csv:2:3"},
		"unknown letters": {"scientificName,lon,lat\n", Source{Encoding: "klingon"}, "windows-1252"},
	} {
		_, err := read(t, c.text, c.s, utm)
		if err == nil || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: %v says nothing of %q", name, err, c.words)
		}
	}
	if _, err := Read(context.Background(), Source{File: filepath.Join(t.TempDir(), "none.csv")}, utm); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("missing file: %v", err)
	}
}

func TestFieldsAndValues(t *testing.T) {
	s := Source{
		Fields:       map[string]string{"decimallongitude": "WO", "decimalLatitude": "wo2", "eventDate": "day"},
		Values:       map[string]string{"scientificName": "Zootoca vivipara", "geodeticDatum": "WGS84"},
		DecimalComma: true, Delimiter: ";",
	}
	set := mustRead(t, "wo;wo2;day\n1,5;2,25;2024-05\n", s, layers.WGS84())
	if len(set.Records) != 1 {
		t.Fatalf("%+v", set.Rejects)
	}
	if r := set.Records[0]; r.Species != "Zootoca vivipara" || r.Given != (orb.Point{1.5, 2.25}) || r.Date.Days() != 31 || len(r.Notes) != 0 {
		t.Errorf("%+v", r)
	}
}

func TestReadStopsWhenTold(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	file := filepath.Join(t.TempDir(), "r.csv")
	if err := os.WriteFile(file, []byte("scientificName,lon,lat\nV,1,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(ctx, Source{File: file}, layers.WGS84()); err == nil {
		t.Error("read on")
	}
}

// Half a place is not made whole with half of another pair of columns.
func TestPairsOfColumns(t *testing.T) {
	set := mustRead(t, "scientificName,decimalLongitude,decimalLatitude,lon,lat\nV,,,3,4\nV,1,,3,4\nV,1,2,3,4\n", Source{}, layers.WGS84())
	if len(set.Records) != 2 || len(set.Rejects) != 1 || set.Rejects[0].Reason != MissingCoordinate {
		t.Fatalf("%+v", set)
	}
	if set.Records[0].Given != (orb.Point{3, 4}) || set.Records[1].Given != (orb.Point{1, 2}) {
		t.Errorf("%v and %v", set.Records[0].Given, set.Records[1].Given)
	}
}
