package evidence

import (
	"errors"
	"math"
	"testing"
)

func TestSelectionRatiosByHand(t *testing.T) {
	rows, err := SelectionRatios([]int64{30, 10, 0, 0}, []float64{25, 50, 25, 0})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{3, .5, 0} {
		near(t, "ratio", rows[i].Ratio, want, 1e-12)
		if r := rows[i]; !r.HasRatio || r.RatioLow > r.Ratio || r.RatioHigh < r.Ratio || r.RatioHigh <= 0 {
			t.Errorf("%+v", r)
		}
	}
	if rows[3].HasRatio {
		t.Error("a ratio for a class without area")
	}
	for _, c := range []struct {
		used []int64
		area []float64
	}{{[]int64{0}, []float64{1}}, {[]int64{1}, []float64{0}}, {nil, nil}} {
		if _, err := SelectionRatios(c.used, c.area); !errors.Is(err, ErrUndefined) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if _, err := SelectionRatios([]int64{1, 2}, []float64{1}); err == nil {
		t.Error("two classes against one pass")
	}
}

// Wilson's interval solves (p̂ − p)² = z² p(1 − p)/n at both ends.
func TestWilsonSolvesItsEquation(t *testing.T) {
	for _, c := range [][2]int64{{0, 10}, {3, 10}, {10, 10}, {81, 263}} {
		low, high := wilson(c[0], c[1])
		share := float64(c[0]) / float64(c[1])
		for _, p := range []float64{low, high} {
			near(t, "distance from the share", math.Abs(share-p), z95*math.Sqrt(p*(1-p)/float64(c[1])), 1e-9)
		}
	}
}

func TestDecilesThatTie(t *testing.T) {
	flat := []float64{2, 2, 2, 2}
	rows, err := DecileRatios([]float64{2, 2}, flat, nil)
	if err != nil || len(rows) != 1 || rows[0].Ratio != 1 {
		t.Errorf("%+v, %v", rows, err)
	}
	rows, err = DecileRatios([]float64{0, 4}, []float64{0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5}, nil)
	if err != nil || len(rows) != 5 || rows[0].Low != 0 || rows[0].High != 1 || rows[0].Used != 1 || rows[3].Low != 3 || rows[4].Used != 1 {
		t.Errorf("%+v, %v", rows, err)
	}
	if _, err := DecileRatios([]float64{3}, flat, nil); err == nil {
		t.Error("a record outside every cell's value passes")
	}
	if _, err := DecileRatios(nil, nil, nil); !errors.Is(err, ErrUndefined) {
		t.Errorf("nothing: %v", err)
	}
	if _, err := IntervalRatios([]float64{1}, []float64{1}, nil, []float64{2, 1}); err == nil {
		t.Error("falling breaks pass")
	}
}
