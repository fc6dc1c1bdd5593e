package evidence

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// By hand: of ten cells the two best hold three of four records; a cell and a
// half of the next three, which tie, hold half of the last one.
func TestLiftByHand(t *testing.T) {
	cells := []float64{9, 8, 5, 5, 5, 1, 1, 1, 1, 1}
	rows, err := Lift([]float64{9, 9, 8, 5}, cells, .35, .1, .2, 1)
	if err != nil || len(rows) != 4 {
		t.Fatalf("%+v, %v", rows, err)
	}
	for i, want := range []LiftRow{{.1, .5, 5}, {.2, .75, 3.75}, {.35, .875, 2.5}, {1, 1, 1}} {
		near(t, "area", rows[i].Area, want.Area, 0)
		near(t, "records", rows[i].Records, want.Records, 1e-12)
		near(t, "times", rows[i].Times, want.Times, 1e-12)
	}
	if _, err := Lift(nil, cells); !errors.Is(err, ErrUndefined) {
		t.Error(err)
	}
	if _, err := Lift(cells, cells, 1.5); err == nil {
		t.Error("a share of 1.5 passes")
	}
}

// The area under the whole curve is the AUC: trapezia between all cells of a
// background without gaps, by which every corner of the curve is met.
func TestLiftCurveHoldsTheAUC(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 5))
	for round := range 20 {
		cells := drawn(r, 5+r.IntN(60), 1, round%2 == 0)
		var presence []float64
		for range 1 + r.IntN(20) {
			presence = append(presence, cells[r.IntN(len(cells))])
		}
		shares := make([]float64, len(cells))
		for i := range shares {
			shares[i] = float64(i+1) / float64(len(cells))
		}
		rows, err := Lift(presence, cells, shares...)
		if err != nil {
			t.Fatal(err)
		}
		area, before := 0.0, 0.0
		for _, row := range rows {
			area += (before + row.Records) / 2 / float64(len(cells))
			before = row.Records
		}
		auc, _ := AUC(presence, cells)
		near(t, "area under the curve", area, auc.Value, 1e-9)
	}
}
