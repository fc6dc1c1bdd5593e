package project

import (
	"context"
	"errors"
	"testing"
)

// TestOpenBei opens the project of the real trees and looks at one cell: the
// model is worked by hand from the cell's own elevation and gradient.
func TestOpenBei(t *testing.T) {
	o, err := Open(context.Background(), "testdata/valid/bei.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	if o.Grid.Cols != 201 || o.Grid.Rows != 101 || o.Grid.Cell != 5 {
		t.Errorf("the grid is %d by %d cells of %g m", o.Grid.Cols, o.Grid.Rows, o.Grid.Cell)
	}
	if len(o.Subjects) != 1 || o.Subjects[0].Profile.ID != "fernleaf" {
		t.Fatalf("subjects %+v", o.Subjects)
	}
	if n := len(o.Subjects[0].Profile.Measures()); n != 2 {
		t.Errorf("%d measures", n)
	}
	if len(o.Inputs["elev"]) != 64 || o.Inputs["elev"] == o.Inputs["grad"] {
		t.Errorf("inputs %v", o.Inputs)
	}
	if o.Output.Counted != 2 || len(o.Licences) != 1 || len(o.Records) != 1 {
		t.Errorf("output %+v, licences %v, records %v", o.Output, o.Licences, o.Records)
	}
}

func TestOpenTakesTheGridOfALayer(t *testing.T) {
	o, err := Open(context.Background(), "testdata/valid/like.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	if o.Grid.West != -2.5 || o.Grid.North != 502.5 || o.Grid.Cols != 201 || o.Grid.Rows != 101 || !o.Grid.CRS.IsLocal() {
		t.Errorf("the grid is %+v", o.Grid)
	}
}

func TestOpenFindsTheStaticMistakesToo(t *testing.T) {
	for _, file := range samples(t, "testdata/wrong/*.yaml") {
		o, err := Open(context.Background(), file)
		var problems Problems
		if o != nil || !errors.As(err, &problems) {
			t.Errorf("%s: %v", file, err)
			continue
		}
		_, static := Load(file)
		if len(problems) < len(static.(Problems)) {
			t.Errorf("%s: %d problems with layers, %d without", file, len(problems), len(static.(Problems)))
		}
	}
}
