package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
)

// districtTolerance is how far the maps may lie from the independent ones. Both
// start from the same numbers; the program keeps measures and results as 32-bit
// floats, whose steps below 1 are 6e-8 wide, and the other engine keeps 64 bits. A
// curve can make a step larger, and weights make it smaller again: in districts of
// four seeds no cell was off by more than 7e-8.
const districtTolerance = 1e-6

// roundingMetres is how near to a drawn line of a range, or to the edge distance
// off it, a cell's centre must lie for rounding to decide its standing. Places
// come from longitudes and latitudes, both engines' by PROJ, in metres of seven
// digits: 1e-9 m are the last bits, and crossings are reckoned from them.
const roundingMetres = 1e-6

// districtReport is what testdata/oracles/district prints.
type districtReport struct {
	Seconds float64
	Flooded int // discs that a barrier cuts
	Records int // records that shape a map
	Species map[string]districtComparison
}

type districtComparison struct {
	Cells, Unknown, Shown int
	MeanHere              float64 `json:"mean_here"`
	MeanMap               float64 `json:"mean_map"`
	StandingDiffers       int     `json:"standing_differs"`
	StandingMargin        float64 `json:"standing_margin"`
	Habitat, Suitability  planeComparison
	AtBreaks              int `json:"classes_at_breaks"`
	ClassDiffers          int `json:"class_differs"`
}

type planeComparison struct {
	Greatest float64
	Alone    int // known to one only
}

// TestDistrictAgainstIndependentEngine maps the ten species of the invented
// district and holds every cell's habitat, suitability, class and standing
// against a program that shares no code with this one: testdata/oracles/district
// works everything out again from the project's files with PyYAML, GDAL, numpy
// and scipy, by the measures' definitions. It takes one thing as given: which
// records may shape a map.
func TestDistrictAgainstIndependentEngine(t *testing.T) {
	folder := averholtCopy(t)
	storeFloats(t, filepath.Join(folder, "tussock.yaml"))
	kept := filepath.Join(t.TempDir(), "records.csv")
	runTussock(t, "map", "--quiet", "--project", folder, "--audience", "staff")
	runTussock(t, "records", "--quiet", "--project", folder, "--audience", "staff", "--out", kept)
	raw, err := exec.Command(python, "-B", "../../testdata/oracles/district/district.py", folder, filepath.Join(folder, "out", "staff"), kept).Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, stderrOf(err))
	}
	var report districtReport
	if err := json.Unmarshal(raw, &report); err != nil {
		t.Fatal(err)
	}
	t.Logf("seed %d: %.1f s, %d discs flooded, %d records counted", districtSeeds[0], report.Seconds, report.Flooded, report.Records)
	t.Logf("%-20s %9s %9s %9s %8s %8s %9s", "species", "mean map", "mean here", "greatest", "unknown", "shown", "standings")
	for _, id := range slices.Sorted(maps.Keys(report.Species)) {
		s := report.Species[id]
		t.Logf("%-20s %9.6f %9.6f %9.2g %8d %8d %9d", id, s.MeanMap, s.MeanHere, max(s.Habitat.Greatest, s.Suitability.Greatest), s.Unknown, s.Shown, s.StandingDiffers)
		s.check(t, id)
	}
	if len(report.Species) != 10 || report.Flooded < 1000 || report.Records < 10 {
		t.Errorf("%d species, %d discs cut by a barrier, %d records: the comparison leaves something out", len(report.Species), report.Flooded, report.Records)
	}
}

// check holds one species' comparison. Few cells may lie on a range's edge or on
// a class break: where many do, the comparison says nothing.
func (s districtComparison) check(t *testing.T, id string) {
	t.Helper()
	if s.Cells != 960*720 || s.Unknown > s.Cells/20 || s.Shown < 1000 {
		t.Errorf("%s: %d cells, %d unknown, %d shown: too few were compared", id, s.Cells, s.Unknown, s.Shown)
	}
	for plane, p := range map[string]planeComparison{"habitat": s.Habitat, "suitability": s.Suitability} {
		if p.Alone != 0 || !(p.Greatest <= districtTolerance) {
			t.Errorf("%s: %s: %d cells known to one only, greatest difference %g", id, plane, p.Alone, p.Greatest)
		}
	}
	if s.StandingDiffers > 10 || !(s.StandingMargin <= roundingMetres) {
		t.Errorf("%s: %d standings differ, up to %g m from a line that could decide them", id, s.StandingDiffers, s.StandingMargin)
	}
	if s.ClassDiffers != 0 || s.AtBreaks > s.Cells/1000 {
		t.Errorf("%s: %d classes differ; %d lie on a break", id, s.ClassDiffers, s.AtBreaks)
	}
}

// storeFloats has a project's maps stored as they are, not in steps of 0.005.
func storeFloats(t *testing.T, path string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	floats := bytes.Replace(text, []byte("values: bytes"), []byte("values: floats"), 1)
	if bytes.Equal(floats, text) {
		t.Fatalf("%s: its values are no bytes", path)
	}
	if err := os.WriteFile(path, floats, 0o644); err != nil {
		t.Fatal(err)
	}
}

// runTussock runs the program; exit status 3, finished with some rows left out,
// will do.
func runTussock(t *testing.T, args ...string) {
	t.Helper()
	_, err := exec.Command(theProgram(t), args...).Output()
	var exit *exec.ExitError
	if err != nil && !(errors.As(err, &exit) && exit.ExitCode() == exitDegraded) {
		t.Fatalf("tussock %v: %v\n%s", args, err, stderrOf(err))
	}
}
