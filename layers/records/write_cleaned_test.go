package records

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// secrets are how sensitive the small world's species are; nobody has said of
// the grass snake.
func secrets(name string) (layers.Sensitivity, bool) {
	s, ok := map[string]layers.Sensitivity{
		"Bufo bufo": layers.NotSensitive, "Vipera berus": layers.HighSensitivity, "Lacerta agilis": layers.ExtremeSensitivity,
	}[name]
	return s, ok
}

func cleanedWorld(t *testing.T) (*world, *Cleaning) {
	t.Helper()
	w := newWorld(t, 17)
	for range 100 {
		w.write(w.sound())
	}
	w.plantAll()
	done, err := Clean([]Set{w.read()}, w.checks())
	if err != nil {
		t.Fatal(err)
	}
	return w, done
}

func written(t *testing.T, w *world, a layers.Audience, all []Cleaned) (rows [][]string, text string, withheld int) {
	t.Helper()
	var out bytes.Buffer
	withheld, err := Sheet{Audience: a, Generaliser: generaliser(t, w.grid.CRS), Sensitivity: secrets}.Write(&out, all)
	if err != nil {
		t.Fatal(err)
	}
	text = out.String()
	rows, err = csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows, text, withheld
}

// TestSheetForStaff: every record, and read again each lies where it lay.
func TestSheetForStaff(t *testing.T) {
	w, done := cleanedWorld(t)
	rows, text, withheld := written(t, w, layers.Staff, done.Records)
	if withheld != 0 || len(rows) != 1+len(done.Records) {
		t.Fatalf("%d rows, %d withheld", len(rows), withheld)
	}
	again := mustRead(t, text, Source{}, w.grid.CRS)
	if len(again.Records) != len(done.Records) {
		t.Fatalf("%d read again; %+v", len(again.Records), again.Rejects)
	}
	for i, r := range again.Records {
		was := done.Records[i]
		if r.ID != was.ID || r.Species != was.Species || r.Date != was.Date || r.Recorder != was.Recorder || !near(r.Point, was.Point, 0.1) {
			t.Fatalf("%+v became %+v", was.Record, r)
		}
		if r.Raw["use"] != was.Use.String() || strings.Count(r.Raw["tests"], "|")+1 != max(len(was.Flags()), 1) {
			t.Fatalf("%q %q for %+v", r.Raw["use"], r.Raw["tests"], was.Flags())
		}
	}
}

// TestSheetBelowStaff: no observer, no reason, no place of a sensitive species,
// and nothing of a species that may not be shown or that nobody knows.
func TestSheetBelowStaff(t *testing.T) {
	w, done := cleanedWorld(t)
	for _, a := range []layers.Audience{layers.Public, layers.Volunteer, layers.Partner} {
		rows, text, withheld := written(t, w, a, done.Records)
		if withheld == 0 || len(rows)-1+withheld != len(done.Records) {
			t.Errorf("%v: %d rows, %d withheld of %d", a, len(rows)-1, withheld, len(done.Records))
		}
		for _, word := range append([]string{"Lacerta agilis", "Natrix helvetica", "Oakley", "metres", "surroundings"}, worldPeople...) {
			if strings.Contains(text, word) {
				t.Errorf("%v: the sheet says %q", a, word)
			}
		}
		for _, row := range rows[1:] {
			if row[1] == "Vipera berus" && (row[14] != "" || !strings.Contains(row[11], "0.1 degree") || !isCentre(row[3]) || !isCentre(row[4])) {
				t.Errorf("%v: %q", a, row)
			}
		}
	}
	var out bytes.Buffer
	if _, err := (Sheet{Generaliser: generaliser(t, w.grid.CRS), Sensitivity: secrets}).Write(&out, nil); !errors.Is(err, layers.ErrNoAudience) {
		t.Errorf("nobody: %v", err)
	}
}

// isCentre tells whether a coordinate is the middle of a cell of 0.1°.
func isCentre(text string) bool {
	v, err := strconv.ParseFloat(text, 64)
	return err == nil && math.Abs(math.Remainder(v-0.05, 0.1)) < 1e-7
}

// TestAside: the held records as they were, then the rejects; none of another
// use.
func TestAside(t *testing.T) {
	w, done := cleanedWorld(t)
	aside := done.Aside()
	held := 0
	for _, r := range done.Records {
		if r.Use != Held {
			continue
		}
		row := aside[held]
		line := strings.Split(w.lines[r.Source.Line-2], ",")
		if strings.Join(row.Row, ",") != strings.Join(line, ",") || row.Source != r.Source {
			t.Errorf("%q is not the row %q", row.Row, line)
		}
		if _, isTest := find(Tests(), row.Reason); !isTest || row.Words == "" {
			t.Errorf("reason %q, %q", row.Reason, row.Words)
		}
		held++
	}
	if held == 0 || len(aside) != held+len(done.Rejects) {
		t.Errorf("%d aside of %d held and %d rejects", len(aside), held, len(done.Rejects))
	}
}

func find(tests []Test, reason Reason) (int, bool) {
	for i, test := range tests {
		if string(test) == string(reason) {
			return i, true
		}
	}
	return 0, false
}

// TestSheetNamesItsRoomOnce: an error says where it comes from once.
func TestSheetNamesItsRoomOnce(t *testing.T) {
	g, err := NewGeneraliser(crs(t, "EPSG:32631"))
	if err != nil {
		t.Fatal(err)
	}
	defer g.Close()
	s := Sheet{Audience: layers.Public, Generaliser: g, Sensitivity: func(string) (layers.Sensitivity, bool) { return layers.HighSensitivity, true }}
	nowhere := Cleaned{Record: Record{CRS: crs(t, "EPSG:32631"), Given: orb.Point{1e300, 1e300}, Source: Origin{File: "a.csv", Line: 3}}}
	if _, err = s.Write(io.Discard, []Cleaned{nowhere}); err == nil || strings.Count(err.Error(), "records:") != 1 || !strings.Contains(err.Error(), "a.csv:3") {
		t.Errorf("%v", err)
	}
	s.Audience = layers.Staff
	if _, err = s.Write(io.Discard, []Cleaned{nowhere}); err == nil || strings.Count(err.Error(), "records:") != 1 || !strings.Contains(err.Error(), "a.csv:3") {
		t.Errorf("%v", err)
	}
}
