package suitability

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"tussock/layers"
)

// checkers is a companion of the plot's species: a raster of codes and one of
// numbers that depend on the cell alone, and a count of its cells.
func checkers(j *Job) Companion {
	return Companion{
		Kind: "checkers", Species: "beilschmiedia", Title: "a test", Caution: "none", Recipe: 1,
		Rasters: []CompanionRaster{
			{Name: "odd", Words: "odd and even", Classes: []layers.Class{{Value: 0, Name: "even"}, {Value: 1, Name: "odd"}}},
			{Name: "column", Words: "column", Unit: "1", Scale: 0.5, Offset: -10},
		},
		Fill: func(w layers.Window, cells [][]uint8) ([]byte, error) {
			for i := range w.Cells() {
				col, row := w.Col+i%w.Cols, w.Row+i/w.Cols
				cells[0][i], cells[1][i] = uint8((col+row)%2), uint8(col%200)
			}
			return json.Marshal(w.Cells())
		},
		Facts: func(notes [][]byte) (any, error) {
			sum := 0
			for _, raw := range notes {
				n := 0
				if err := json.Unmarshal(raw, &n); err != nil {
					return nil, err
				}
				sum += n
			}
			return map[string]int{"cells": sum}, nil
		},
	}
}

func TestCompanionIsPublishedAsASurfaceIs(t *testing.T) {
	j := beiJob(t, Bytes, layers.Staff)
	p, err := j.Plan(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	q, err := p.Companion(checkers(j))
	if err != nil || q.Task.Done {
		t.Fatal(q, err)
	}
	if _, err := q.Publish(); !errors.Is(err, ErrIncomplete) {
		t.Fatalf("published before it was computed: %v", err)
	}
	if err := q.Run(context.Background(), RunOptions{}); err != nil {
		t.Fatal(err)
	}
	e, err := q.Publish()
	if err != nil {
		t.Fatal(err)
	}
	if string(e.Facts) == "" || e.Version != q.Task.Key || len(e.Files) != 2 {
		t.Errorf("%+v", e)
	}
	var facts map[string]int
	if err := json.Unmarshal(e.Facts, &facts); err != nil || facts["cells"] != j.Grid.Window().Cells() {
		t.Errorf("facts %s, %v", e.Facts, err)
	}
	odd := bytesOf(t, filepath.Join(j.Folder, e.Files["odd"]), j.Grid)
	column := floatsOf(t, filepath.Join(j.Folder, e.Files["column"]))
	for i := range odd {
		col, row := i%j.Grid.Cols, i/j.Grid.Cols
		if odd[i] != uint8((col+row)%2) || column[i] != float32(col%200)/2-10 {
			t.Fatalf("column %d, row %d: %d, %g", col, row, odd[i], column[i])
		}
	}
	if _, err := os.Stat(filepath.Join(j.Folder, ".work")); !errors.Is(err, os.ErrNotExist) {
		t.Error("the work folder was left behind")
	}
	v := &verification{folder: j.Folder}
	err = v.surface(context.Background(), CatalogueEntry{ID: "checkers", Item: e.Item, Files: e.Files})
	if err != nil || len(v.found) > 0 {
		t.Errorf("its item does not hold: %v, %v", err, v.found)
	}
	again, err := p.Companion(checkers(j))
	if err != nil || !again.Task.Done || again.Task.Key != q.Task.Key {
		t.Errorf("it is not known to be there: %v, %v", again, err)
	}
	other := checkers(j)
	other.Recipe = 2
	if r, err := p.Companion(other); err != nil || r.Task.Key == q.Task.Key {
		t.Errorf("another recipe has the same key: %v", err)
	}
}

func TestCompanionsThatCannotBe(t *testing.T) {
	j := beiJob(t, Bytes, layers.Public)
	p, err := j.Plan(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	c := checkers(j)
	c.Species = "nobody"
	if _, err := p.Companion(c); !errors.Is(err, ErrNoSpecies) {
		t.Errorf("%v", err)
	}
	c = checkers(j)
	c.Rasters = nil
	if _, err := p.Companion(c); err == nil {
		t.Error("a companion of nothing was planned")
	}
	c = checkers(j)
	c.Fill = func(layers.Window, [][]uint8) ([]byte, error) { return nil, errors.New("no ground") }
	q, err := p.Companion(c)
	if err != nil {
		t.Fatal(err)
	}
	if err := q.Run(context.Background(), RunOptions{}); err == nil {
		t.Error("an error was lost")
	}
}
