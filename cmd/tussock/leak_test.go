package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// secretCells are the sensitive species of the invented district with the side,
// in degrees, of the cells that their places may be known to: Chapman (2020),
// Current Best Practices for Generalizing Sensitive Species Occurrence Data,
// table 7.
var secretCells = map[string]float64{
	"Epidalea calamita": 0.1, "Lacerta agilis": 0.1, "Vipera berus": 0.1, "Coronella austriaca": 0.1,
	"Triturus cristatus": 0.01, "Natrix helvetica": 0.001,
}

var belowStaff = []string{"public", "volunteer", "partner"}

// TestOutsiderLearnsOfNoNewRecord looks at all that an outsider may have, before
// and after a record of each sensitive species came in: maps, tiles and pictures
// have the same bytes, and check and records say the same words.
func TestOutsiderLearnsOfNoNewRecord(t *testing.T) {
	t.Parallel()
	folder := averholtCopy(t)
	before, after := filepath.Join(folder, "before"), filepath.Join(folder, "after")
	said := everythingSaid(t, folder, before)
	addSecrets(t, filepath.Join(folder, "records.csv"))
	for what, text := range everythingSaid(t, folder, after) {
		if text != said[what] {
			t.Errorf("%s says something else:\n%s\nbefore:\n%s", what, text, said[what])
		}
	}
	sameOutputs(t, before, after)
	if out := outsider(t, exitDone, "compare", "--json", filepath.Join(before, "public"), filepath.Join(after, "public")); !strings.Contains(out, "same version") {
		t.Errorf("compare: %s", out)
	}
}

// everythingSaid makes the public's maps, tiles and pictures, and gives what
// commands print: the plan of a map has the hash of all that could change it.
func everythingSaid(t *testing.T, folder, out string) map[string]string {
	t.Helper()
	for _, command := range [][]string{{"map"}, {"tiles", "--format", "folder", "--max-zoom", "9"}, {"picture", "--width", "800", "--species", "adder,slow_worm"}} {
		outsider(t, exitDone, append(command, "-p", folder, "--out", out)...)
	}
	said := map[string]string{}
	for _, audience := range belowStaff {
		said[audience+" plan"] = outsider(t, exitDone, "map", "plan", "--json", "-p", folder, "--audience", audience)
		said[audience+" records"] = outsider(t, exitDegraded, "records", "--json", "-p", folder, "--audience", audience)
		said[audience+" check"] = outsider(t, exitDegraded, "check", "--json", "-p", folder, "--audience", audience)
	}
	said["records in words"] = outsider(t, exitDegraded, "records", "-p", folder)
	said["records of one species"] = outsider(t, exitDegraded, "records", "-p", folder, "--species", "adder")
	said["check in words"] = outsider(t, exitDegraded, "check", "-p", folder)
	return said
}

// outsider runs the program and gives all that it prints.
func outsider(t *testing.T, code int, args ...string) string {
	t.Helper()
	var out, errOut bytes.Buffer
	if got := run(append(args, "--quiet"), &out, &errOut); got != code {
		t.Fatalf("%q: exit %d, want %d\n%s", args, got, code, &errOut)
	}
	return out.String() + errOut.String()
}

// addSecrets adds a record of each sensitive species: its first sound one again,
// on another day and 200 m farther north.
func addSecrets(t *testing.T, path string) {
	t.Helper()
	rows := readTable(t, path)
	column := func(name string) int { return slices.Index(rows[0], name) }
	for name := range secretCells {
		at := slices.IndexFunc(rows, func(r []string) bool {
			return r[column("scientificName")] == name && r[column("eventDate")] > "2015"
		})
		r := slices.Clone(rows[at])
		latitude, err := strconv.ParseFloat(r[column("decimalLatitude")], 64)
		if err != nil {
			t.Fatal(err)
		}
		r[column("occurrenceID")], r[column("eventDate")] = "new "+name, "2026-04-17"
		r[column("decimalLatitude")] = fmt.Sprintf("%.6f", latitude+0.0018)
		rows = append(rows, r)
	}
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func readTable(t *testing.T, path string) [][]string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatal(len(rows), err)
	}
	return rows
}

// sameOutputs holds two folders against each other, by name and by bytes.
func sameOutputs(t *testing.T, one, other string) {
	t.Helper()
	files := 0
	for _, pair := range [][2]string{{one, other}, {other, one}} {
		err := filepath.WalkDir(pair[0], func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			files++
			name, _ := filepath.Rel(pair[0], path)
			here, err := os.ReadFile(path)
			there, errThere := os.ReadFile(filepath.Join(pair[1], name))
			if errThere != nil || !bytes.Equal(here, there) {
				t.Errorf("%s differs: %v", name, errThere)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if files < 150 {
		t.Errorf("%d files: something was not made", files)
	}
}

// TestOutsiderLearnsNoPlace: below staff, a record of a sensitive species lies in
// the middle of its category's cell and has neither an identifier nor a test that
// could tell more; its rows stand apart from those with exact places.
func TestOutsiderLearnsNoPlace(t *testing.T) {
	t.Parallel()
	folder := averholt(t)
	for _, audience := range belowStaff {
		path := filepath.Join(t.TempDir(), "records.csv")
		outsider(t, exitDegraded, "records", "-p", folder, "--audience", audience, "--out", path)
		rows := readTable(t, path)
		found, secret := map[string]bool{}, false
		for _, row := range rows[1:] {
			side, sensitive := secretCells[row[1]]
			if secret && !sensitive {
				t.Fatalf("%s: %q stands behind a sensitive species", audience, row)
			}
			if secret = sensitive; !sensitive {
				continue
			}
			found[row[1]] = true
			if row[0] != "" || row[10] != "" || row[14] != "" || row[15] != "" || !inMiddle(row[3], side) || !inMiddle(row[4], side) {
				t.Errorf("%s: %q", audience, row)
			}
		}
		if len(found) != len(secretCells) {
			t.Errorf("%s: only %v", audience, found)
		}
	}
}

// inMiddle tells whether a coordinate is the middle of a cell; the cells start at
// a whole degree.
func inMiddle(text string, side float64) bool {
	v, err := strconv.ParseFloat(text, 64)
	return err == nil && math.Abs(math.Remainder(v-side/2, side)) < 1e-9
}

// TestOutsiderLearnsNoPlaceFromRanges: neither words nor exact areas of a
// sensitive species, and no number of its records.
func TestOutsiderLearnsNoPlaceFromRanges(t *testing.T) {
	t.Parallel()
	for _, audience := range belowStaff {
		var list []struct {
			Scientific string
			Polygons   []polygonResult
			Records    map[string]float64
		}
		if err := json.Unmarshal([]byte(outsider(t, exitDone, "ranges", "--json", "-p", averholt(t), "--audience", audience)), &list); err != nil {
			t.Fatal(err)
		}
		secrets := 0
		for _, r := range list {
			if secretCells[r.Scientific] == 0 {
				continue
			}
			secrets++
			for _, p := range r.Polygons {
				if p.Note != "" || p.Author != "" {
					t.Errorf("%s: %s: %+v", audience, r.Scientific, p)
				}
			}
			for name, v := range r.Records {
				if !strings.HasPrefix(name, "area_of_occupancy_km2") && name != "extent_of_occurrence_km2" || v != math.Trunc(v) {
					t.Errorf("%s: %s: %s %g", audience, r.Scientific, name, v)
				}
			}
		}
		if secrets != len(secretCells) {
			t.Errorf("%s: %d sensitive species", audience, secrets)
		}
	}
}
