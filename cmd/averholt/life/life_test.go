package life

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"tussock/cmd/averholt/land"
	"tussock/layers"
	"tussock/layers/records"
)

const testSeed = 5603

var (
	district = sync.OnceValue(func() *land.District { return land.New(testSeed) })
	twins    = sync.OnceValue(func() (both [2]*Life) {
		var work sync.WaitGroup
		for i := range both {
			work.Go(func() { both[i] = New(district(), testSeed) })
		}
		work.Wait()
		return both
	})
	// folder holds its files. It is removed by TestMain.
	folder = sync.OnceValue(func() string {
		name, err := os.MkdirTemp("", "averholt")
		if err == nil {
			err = averholt().WriteFiles(name)
		}
		if err != nil {
			panic(err)
		}
		return name
	})
)

func averholt() *Life { return twins()[0] }

func TestMain(m *testing.M) {
	code := m.Run()
	if err := os.RemoveAll(folder()); err != nil {
		panic(err)
	}
	os.Exit(code)
}

// The same district and seed give the same bytes.
func TestSameSeedSameBytes(t *testing.T) {
	again := t.TempDir()
	if err := twins()[1].WriteFiles(again); err != nil {
		t.Fatal(err)
	}
	files := 0
	err := filepath.WalkDir(folder(), func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, _ := filepath.Rel(folder(), path)
		one, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		two, err := os.ReadFile(filepath.Join(again, name))
		if err != nil || !bytes.Equal(one, two) {
			t.Errorf("%s differs: %v", name, err)
		}
		files++
		return nil
	})
	if err != nil || files < 30 {
		t.Errorf("%d files, %v", files, err)
	}
}

// readAll reads a source of records onto the district's grid.
func readAll(t *testing.T, name string) records.Set {
	t.Helper()
	set, err := records.Read(context.Background(), records.Source{File: filepath.Join(folder(), name), Today: Reference}, district().Grid.CRS)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func readTable(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join(folder(), name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// How much of a district a species holds is a choice; it comes out near it, or
// below where there is too little ground, and in the order of common and rare.
func TestTruthIsAsCommonAsItShouldBe(t *testing.T) {
	held := map[string]float64{}
	for _, truth := range averholt().Truth {
		n := 0
		for i, o := range truth.Occupied {
			if p := truth.Psi[i]; p < 0 || p > 1 || o && p == 0 {
				t.Fatalf("%s, cell %d: psi %g, occupied %v", truth.Species.ID, i, p, o)
			}
			if o {
				n++
			}
		}
		held[truth.Species.ID] = float64(n) / float64(len(truth.Occupied))
		if share := truth.Species.share; held[truth.Species.ID] > 1.5*share || held[truth.Species.ID] < 0.1*share {
			t.Errorf("%s holds %.4f of the district, planned %.4f", truth.Species.ID, held[truth.Species.ID], share)
		}
	}
	if held["smooth_snake"] > 0.01 || held["natterjack"] > 0.01 || held["common_lizard"] < 0.1 || held["common_toad"] < 0.15 {
		t.Errorf("rare and common: %v", held)
	}
	averholt().checkWater(t)
}

// checkWater: no land animal lives in open water.
func (l *Life) checkWater(t *testing.T) {
	for _, truth := range l.Truth {
		for i, o := range truth.Occupied {
			if o && !truth.Species.inWater && district().Cover[i] == land.OpenWater {
				t.Fatalf("%s lives in open water", truth.Species.ID)
			}
		}
	}
}

// The rasters say the same as the truth in memory, to the byte's step, and that
// they are never to be used.
func TestTruthRasters(t *testing.T) {
	for _, truth := range averholt().Truth {
		for _, kind := range []string{"psi", "occupied"} {
			r, err := layers.OpenRaster(filepath.Join(folder(), "truth", truth.Species.ID+"_"+kind+".tif"), 1)
			if err != nil {
				t.Fatal(err)
			}
			cells := make([]float32, land.Cols*land.Rows)
			if err := r.ReadFloat32(0, 0, land.Cols, land.Rows, cells); err != nil {
				t.Fatal(err)
			}
			for i, v := range cells {
				want := float32(0)
				if truth.Occupied[i] {
					want = 1
				}
				if kind == "psi" {
					want = truth.Psi[i]
				}
				if d := v - want; !(d <= psiStep/2+1e-6 && d >= -psiStep/2-1e-6) {
					t.Fatalf("%s %s, cell %d: %g, want %g", truth.Species.ID, kind, i, v, want)
				}
			}
			if words := r.Info().Description; !strings.Contains(words, "never to be used") {
				t.Errorf("%s: %q", truth.Species.ID, words)
			}
			if err := r.Close(); err != nil {
				t.Error(err)
			}
		}
	}
}

// Nobody's name or address is in any file of people.
func TestVolunteersHaveNoAddress(t *testing.T) {
	rows := readTable(t, "volunteers.csv")
	forbiddenColumn := regexp.MustCompile(`(?i)name|address|street|post|mail|phone|lat|lon|^x$|^y$|easting|northing`)
	for _, column := range rows[0] {
		if forbiddenColumn.MatchString(column) {
			t.Errorf("column %s", column)
		}
	}
	cell, partners := regexp.MustCompile(`^E\d{3}N\d{4}$`), map[string]string{}
	for _, row := range rows[1:] {
		if !cell.MatchString(row[1]) {
			t.Errorf("home cell %q", row[1])
		}
		partners[row[0]] = row[6]
	}
	for id, partner := range partners {
		if partner != "" && partners[partner] != id {
			t.Errorf("%s pairs with %s, who pairs with %s", id, partner, partners[partner])
		}
	}
	if len(rows) != 1+volunteerCount {
		t.Errorf("%d volunteers", len(rows)-1)
	}
}
