package suitability

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tussock/layers"
)

// TestHabitatIsTheSameInAnyWindow holds cells of random windows against the
// reference path, which evaluates one cell by itself.
func TestHabitatIsTheSameInAnyWindow(t *testing.T) {
	const seed = 41
	random := rand.New(rand.NewPCG(seed, 0))
	j := richJob(t, landscapeGrid(t), Floats, layers.Staff)
	for range 6 {
		w := layers.Window{Col: random.IntN(1200), Row: random.IntN(1000), Cols: 1 + random.IntN(90), Rows: 1 + random.IntN(90)}
		list, err := j.Habitats(w, j.Subjects...)
		if err != nil {
			t.Fatal(err)
		}
		w = w.Intersect(j.Grid.Window())
		col, row := w.Col+random.IntN(w.Cols), w.Row+random.IntN(w.Rows)
		for i, h := range list {
			x, err := j.ExplainCell(j.Subjects[i], j.Grid.Centre(col, row))
			if err != nil {
				t.Fatal(err)
			}
			got, want := float64(h.S.Value(col, row)), x.S
			if x.Excluded {
				want = 0
			}
			if math.IsNaN(got) != math.IsNaN(want) || math.Abs(got-want) > 1e-6 {
				t.Errorf("seed %d: %s at %d, %d: %g, not %g", seed, x.Species, col, row, got, want)
			}
			if (h.Excluded.Code(col, row) == 1) != x.Excluded || Standing(h.InRange.Code(col, row)) != x.InRange {
				t.Errorf("seed %d: %s at %d, %d: excluded %d, in range %d; not %t, %d", seed, x.Species, col, row,
					h.Excluded.Code(col, row), h.InRange.Code(col, row), x.Excluded, x.InRange)
			}
			if len(h.Measured) != len(x.Profile.Measures()) {
				t.Errorf("%s: %d measures", x.Species, len(h.Measured))
			}
		}
	}
}

// TestHabitatIsWithheld asks for what an audience may not see cell by cell.
func TestHabitatIsWithheld(t *testing.T) {
	j := richJob(t, landscapeGrid(t), Floats, layers.Public)
	_, err := j.Habitats(layers.Window{Cols: 2, Rows: 2}, j.Subjects[4])
	if !errors.Is(err, ErrWithheld) {
		t.Errorf("orchid for the public: %v", err)
	}
}
