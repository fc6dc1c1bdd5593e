package suitability

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tussock/layers"
)

// For the public, a highly sensitive species is mapped in squares of 250 m; so is
// what changed in it, down to the last cell.
func TestCompareShowsNothingFiner(t *testing.T) {
	grid := landscapeGrid(t)
	grid.Cols, grid.Rows = 610, 530
	j := richJob(t, grid, Bytes, layers.Public)
	j.Subjects = j.Subjects[2:3]
	version := func() *Version { return compareVersion(t, j) }
	old := version()
	j.Subjects[0].Profile.Requisites[0].Criteria[0].Weight = 9
	now := version()
	folder := t.TempDir()
	c, err := Compare(context.Background(), old, now, ChangeRasters{folder, aLook(5)})
	if err != nil {
		t.Fatal(err)
	}
	if c.Same || c.New.MapCell != 25 || c.Audience != "public" {
		t.Fatalf("same %v, squares of %d cells, for %s", c.Same, c.New.MapCell, c.Audience)
	}
	for _, name := range []string{"difference", "change"} {
		cells := bytesOf(t, filepath.Join(folder, c.Files[name]), grid)
		for i, got := range cells {
			col, row := i%grid.Cols, i/grid.Cols
			if first := cells[row/25*25*grid.Cols+col/25*25]; got != first {
				t.Fatalf("%s: column %d, row %d is %d, its square begins with %d", name, col, row, got, first)
			}
		}
	}
}

// Once a species is shown in squares, no comparison may show the fine map again.
func TestCompareRefusesAFinerPast(t *testing.T) {
	grid := landscapeGrid(t)
	grid.Cols, grid.Rows = 90, 60
	j := richJob(t, grid, Bytes, layers.Public)
	j.Subjects = j.Subjects[2:3]
	j.Subjects[0].Profile.Sensitivity = layers.NotSensitive
	fine := compareVersion(t, j)
	j.Subjects[0].Profile.Sensitivity = layers.HighSensitivity
	coarse := compareVersion(t, j)
	folder := t.TempDir()
	_, err := Compare(context.Background(), fine, coarse, ChangeRasters{folder, aLook(5)})
	if !errors.Is(err, ErrNotComparable) || !strings.Contains(err.Error(), "; hint: ") {
		t.Errorf("%v", err)
	}
	if left, err := os.ReadDir(folder); err != nil || len(left) > 0 {
		t.Errorf("left %v, %v", left, err)
	}
	if c, err := Compare(context.Background(), coarse, fine, ChangeRasters{}); err != nil || c.Old.MapCell != 25 {
		t.Errorf("the other way: %v", err)
	}
}

func FuzzOpenVersion(f *testing.F) {
	f.Add([]byte(`{"id":"a-123456789abc","properties":{"version":"123456789abcdef","tussock:audience":"staff","tussock:engine":"1","tussock:species":"A b"},` +
		`"assets":{"suitability":{"href":"./a.tif"},"standing":{"href":"./b.tif"},"class":{"href":"./c.tif","classification:classes":[{"value":0,"description":"poor"}]}}}`))
	f.Add([]byte(`{"properties":{"tussock:inputs":[]}}`))
	path := filepath.Join(f.TempDir(), "item.json")
	f.Fuzz(func(t *testing.T, raw []byte) {
		if err := os.WriteFile(path, raw, 0o600); err != nil {
			t.Fatal(err)
		}
		v, err := OpenVersion(path)
		if err != nil {
			return
		}
		for _, file := range v.files {
			if rel, err := filepath.Rel(filepath.Dir(path), file); err != nil || !filepath.IsLocal(rel) {
				t.Errorf("%s leads out of the folder", file)
			}
		}
		changedParts(v.parts, parts{}, v.breaks(), "")
	})
}
