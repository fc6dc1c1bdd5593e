package main

import (
	"encoding/json"
	"os/exec"
	"path/filepath"
	"testing"
)

// python is Debian's, which has the GDAL, numpy and scipy that .ci/setup
// installs.
const python = "/usr/bin/python3"

// TestOverlayAgainstIndependentEngine makes a seeded landscape whose heights
// lie on another grid in another CRS, and holds the habitat of each species,
// cell by cell, against the same job done by GDAL's warper (exact transforms),
// rasteriser and slope, scipy's distance transform and numpy. What remains is
// that GDAL keeps its warped heights and slopes as 32-bit floats.
func TestOverlayAgainstIndependentEngine(t *testing.T) {
	const seed = "3"
	land := filepath.Join(t.TempDir(), "land")
	run := func(name string, args ...string) []byte {
		t.Helper()
		out, err := exec.Command(name, args...).Output()
		if err != nil {
			t.Fatalf("%s %v: %v\n%s", name, args, err, stderrOf(err))
		}
		return out
	}
	run(python, "../../.ci/benchmark/landscape.py", land, "--side", "700", "--species", "4", "--values", "floats", "--seed", seed)
	run(theProgram(t), "map", "--quiet", "--project", land, "--audience", "staff")
	report := run(python, "../../testdata/oracles/overlay.py", land, filepath.Join(land, "out", "staff"))
	var species map[string]struct {
		Cells    int
		Alone    int     `json:"known_by_one_only"`
		Close    float64 `json:"within_1e-4"`
		Greatest float64
	}
	if err := json.Unmarshal(report, &species); err != nil {
		t.Fatal(err)
	}
	t.Logf("seed %s: %s", seed, report)
	if len(species) != 4 {
		t.Errorf("%d species were compared", len(species))
	}
	for id, s := range species {
		if s.Cells != 700*700 || s.Alone != 0 || s.Close != 1 {
			t.Errorf("%s: %d cells compared, %d known by one only, %g within 1e-4, greatest difference %g", id, s.Cells, s.Alone, s.Close, s.Greatest)
		}
	}
}

func stderrOf(err error) []byte {
	if exit, ok := err.(*exec.ExitError); ok {
		return exit.Stderr
	}
	return nil
}
