package evidence

import (
	"cmp"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
)

func binnedExample(t *testing.T) (presences, cells []int64) {
	t.Helper()
	f, err := os.Open(references + "boyce_binned_example.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		a, _ := strconv.ParseInt(row[3], 10, 64)
		p, _ := strconv.ParseInt(row[4], 10, 64)
		presences, cells = append(presences, p), append(cells, a)
	}
	return presences, cells
}

// A table for the hand: the squared differences of the ranks add up to 6, and
// 1 − 6·6/(10·99) = .9636363636 (recomputed with scipy.stats.spearmanr).
func TestBoyceBinnedByHand(t *testing.T) {
	presences, cells := binnedExample(t)
	r, err := BoyceBinned(presences, cells)
	if err != nil || r.Used != 10 || r.Presences != 63 {
		t.Fatalf("%+v, %v", r, err)
	}
	near(t, "index", r.Index, .9636363636, 1e-10)
	near(t, "first ratio", r.Curve[0].Ratio, .31746031746031744, 1e-15)
}

// Ties that floating point would break, and an empty bin: recomputed with scipy
// as Pearson's correlation of the ranks 1 2 3 5 5 8.5 5 8.5 7.
func TestBoyceTiesAreExact(t *testing.T) {
	r, err := BoyceBinned([]int64{0, 2, 2, 6, 5, 8, 0, 3, 6, 4}, []int64{200, 180, 150, 120, 100, 80, 0, 60, 60, 50})
	if err != nil || r.Used != 9 || r.Empty != 1 {
		t.Fatalf("%+v, %v", r, err)
	}
	near(t, "index", r.Index, .8682816614, 1e-10)
}

type continuousExample struct {
	Background []float64 `json:"background"`
	Presence   []float64 `json:"presence"`
	Windows    []struct {
		Mid, F float64
		P, E   int64
	} `json:"windows"`
}

// 200 background and 30 presence values on the scale from 0 to 1. The indices at
// 11 windows, and all 99 windows of the 101 that hold cells, were computed with
// numpy and scipy. At 101 windows the values that came with them rank quotients
// in floating point, which breaks three ties of 55 fractions; they are reached by
// ranking the same quotients of our windows, while the index itself holds the
// ties: .8019756779, .7406798831, .9894565305 and .9895835630, recomputed with
// Python's fractions and scipy.stats.spearmanr.
func TestBoyceContinuousExample(t *testing.T) {
	var x continuousExample
	readReference(t, "boyce_continuous_example.json", &x)
	for _, c := range []struct {
		window   float64
		starts   int
		collapse bool
		used     int
		want     float64
		rounded  float64
	}{
		{.1, 11, false, 11, .9521664794, .9521664794},
		{.1, 101, false, 99, .8019756779, .8013645463},
		{.2, 11, false, 11, .9818181818, .9818181818},
		{.2, 101, false, 101, .9894565305, .9894915415},
		{.1, 11, true, 10, .9393939394, .9393939},
		{.1, 101, true, 71, .7406798831, .7402464},
		{.2, 11, true, 11, .9818181818, .9818182},
		{.2, 101, true, 82, .9895835630, .9896273},
	} {
		r, err := Boyce(x.Presence, x.Background, BoyceOptions{Window: c.window, Starts: c.starts, Domain: Scale, Collapse: c.collapse})
		if err != nil || r.Used != c.used {
			t.Errorf("%+v: %d windows, %v", c, r.Used, err)
		}
		near(t, "index", r.Index, c.want, 1e-10)
		near(t, "index of rounded quotients", rankedInFloats(r, len(x.Background)), c.rounded, 1e-7)
		if c.window == .1 && c.starts == 101 {
			sameWindows(t, r, x)
		}
	}
}

func rankedInFloats(r BoyceResult, cells int) float64 {
	quotient := func(p BoycePoint) float64 {
		return (float64(p.Presences) / float64(r.Presences)) / (float64(p.Cells) / float64(cells))
	}
	compare := func(a, b BoycePoint) int { return cmp.Compare(quotient(a), quotient(b)) }
	curve := slices.Clone(r.Curve)
	if r.Collapsed {
		curve = slices.CompactFunc(curve, func(a, b BoycePoint) bool { return compare(a, b) == 0 })
	}
	rho, _ := spearmanRising(curve, compare)
	return rho
}

func sameWindows(t *testing.T, r BoyceResult, x continuousExample) {
	t.Helper()
	if len(r.Curve) != len(x.Windows) {
		t.Fatalf("%d windows, not %d", len(r.Curve), len(x.Windows))
	}
	for i, w := range x.Windows {
		if p := r.Curve[i]; p.Presences != w.P || p.Cells != w.E || math.Abs(p.Mid-w.Mid) > 1e-12 || math.Abs(p.Ratio-w.F) > 1e-12 {
			t.Errorf("window %d: %+v, not %+v", i, p, w)
		}
	}
}

func evenly(n int, f func(u float64) float64) []float64 {
	values := make([]float64, n)
	for i := range values {
		values[i] = f((float64(i) + .5) / float64(n))
	}
	return values
}

func same(u float64) float64 { return u }

// Against 1000 even values (own check vectors): a density that rises or falls
// evenly, the same as the background, and the best three tenths alone. The last
// shows that 1 is no proof of calibration.
func TestBoyceCheckVectors(t *testing.T) {
	background := evenly(1000, same)
	rising := evenly(1000, math.Sqrt)
	falling := evenly(1000, func(u float64) float64 { return 1 - math.Sqrt(u) })
	top := evenly(300, func(u float64) float64 { return .7 + .3*u })
	for _, o := range []BoyceOptions{{}, {Domain: Scale}, {Collapse: true}} {
		if r, err := Boyce(rising, background, o); err != nil || r.Index <= .99 {
			t.Errorf("rising, %+v: %g, %v", o, r.Index, err)
		}
		if r, err := Boyce(falling, background, o); err != nil || r.Index >= -.99 {
			t.Errorf("falling, %+v: %g, %v", o, r.Index, err)
		}
		for what, curve := range map[string]func(p, b []float64, o BoyceOptions) (BoyceResult, error){"windows": Boyce, "smooth": BoyceSmooth} {
			if r, err := curve(background, background, o); !errors.Is(err, ErrUndefined) || len(r.Curve) != 101 {
				t.Errorf("constant, %s, %+v: %+v, %v", what, o, r.Index, err)
			}
		}
	}
	r, err := Boyce(top, background, BoyceOptions{Collapse: true})
	if err != nil || r.Index != 1 {
		t.Errorf("top: %.17g of %d, %v", r.Index, r.Used, err)
	}
}

// Perfect and reversed order give exactly 1 and −1.
func TestBoycePerfectAndReversed(t *testing.T) {
	p, cells := []int64{1, 2, 3, 4, 5, 6, 7}, []int64{9, 9, 9, 9, 9, 9, 9}
	if r, err := BoyceBinned(p, cells); err != nil || r.Index != 1 {
		t.Errorf("%g, %v", r.Index, err)
	}
	slices.Reverse(p)
	if r, err := BoyceBinned(p, cells); err != nil || r.Index != -1 {
		t.Errorf("%g, %v", r.Index, err)
	}
	if _, err := BoyceBinned([]int64{2, 4, 6}, []int64{1, 2, 3}); !errors.Is(err, ErrUndefined) {
		t.Errorf("constant: %v", err)
	}
}

// A surface of float32 and one of float64 have the same windows, edges too.
func TestBoyceOfFloat32OnEdges(t *testing.T) {
	round := func(n, by int) (exact, single []float64) {
		for i := range n {
			v := float64(i*by%11) / 10
			exact, single = append(exact, v), append(single, float64(float32(v)))
		}
		return exact, single
	}
	p, p32 := round(40, 7)
	a, a32 := round(110, 3)
	want, err := Boyce(p[:35], a, BoyceOptions{Domain: Scale})
	got, err32 := Boyce(p32[:35], a32, BoyceOptions{Domain: Scale})
	if err != nil || err32 != nil || !slices.Equal(got.Curve, want.Curve) {
		t.Errorf("%v, %v: %+v, not %+v", err32, err, got, want)
	}
}

func TestBoyceRefuses(t *testing.T) {
	background := evenly(100, same)
	if _, err := Boyce(evenly(14, same), background, BoyceOptions{}); !errors.Is(err, ErrTooFew) {
		t.Errorf("14: %v", err)
	}
	if _, err := JudgeBoyce(evenly(14, same), background, BoyceOptions{}); !errors.Is(err, ErrTooFew) {
		t.Errorf("14: %v", err)
	}
	if r, err := JudgeBoyce(evenly(15, math.Sqrt), background, BoyceOptions{}); err != nil || r.Method != Smoothed || r.Bandwidth <= 0 {
		t.Errorf("15: %+v, %v", r, err)
	}
	if r, err := JudgeBoyce(evenly(50, math.Sqrt), background, BoyceOptions{}); err != nil || r.Method != MovingWindow {
		t.Errorf("50: %+v, %v", r, err)
	}
	flat := make([]float64, 20)
	if _, err := Boyce(flat, flat, BoyceOptions{}); !errors.Is(err, ErrUndefined) {
		t.Errorf("one value: %v", err)
	}
	for _, o := range []BoyceOptions{{Window: 1}, {Starts: 2}, {Domain: Domain{1, 0}}, {Window: math.NaN()}} {
		if _, err := Boyce(background, background, o); err == nil {
			t.Errorf("%+v passes", o)
		}
	}
}
