package records

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// TestDiscAgainstAllCells: brute force over every cell of the grid, by the
// definition.
func TestDiscAgainstAllCells(t *testing.T) {
	const seed = 20260601
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	g := layers.Grid{West: 1000, North: 9000, Cell: 25, Cols: 41, Rows: 37}
	w := g.Window().Grow(20)
	numbers, codes := layers.NewValues(w), layers.NewCodes(w)
	for i := range numbers.Values {
		if rng.IntN(5) > 0 {
			numbers.Values[i], codes.Codes[i] = float32(rng.NormFloat64()), uint8(rng.IntN(4))
		}
	}
	for range 300 {
		at := orb.Point{1000 + 1025*rng.Float64(), 9000 - 925*rng.Float64()}
		radius := []float64{0, 3, 25, 37.5, 100, 400 * rng.Float64()}[rng.IntN(6)]
		sum, n, all, lowest, counts := 0.0, 0, 0, math.Inf(1), [4]int{}
		for row := w.Row; row < w.Bottom(); row++ {
			for col := w.Col; col < w.Right(); col++ {
				c := g.Centre(col, row)
				own := math.Abs(c[0]-at[0]) < 12.5 && math.Abs(c[1]-at[1]) < 12.5
				if !own && math.Hypot(c[0]-at[0], c[1]-at[1]) > radius {
					continue
				}
				all++
				if v := float64(numbers.Value(col, row)); !math.IsNaN(v) {
					sum, n, lowest = sum+v, n+1, min(lowest, v)
					counts[codes.Code(col, row)]++
				}
			}
		}
		checkDisc(t, g, numbers, codes, at, radius, sum/float64(n), float64(n)/float64(all), lowest, counts, n)
	}
}

func checkDisc(t *testing.T, g layers.Grid, numbers, codes layers.Block, at orb.Point, radius, mean, known, lowest float64, counts [4]int, n int) {
	t.Helper()
	window := DiscWindow(g, at, radius)
	gotMean, gotKnown := DiscMean(numbers.Part(window), g, at, radius)
	shares, sharesKnown := DiscShares(codes.Part(window), g, at, radius, 4)
	if gotKnown != known || sharesKnown != known {
		t.Fatalf("%v within %v m: known %v, %v, want %v", at, radius, gotKnown, sharesKnown, known)
	}
	if n == 0 {
		if !math.IsNaN(gotMean) || !math.IsNaN(DiscLowest(numbers, g, at, radius)) {
			t.Fatalf("%v within %v m: nothing is known, mean %v", at, radius, gotMean)
		}
		return
	}
	if math.Abs(gotMean-mean) > 1e-12 || DiscLowest(numbers.Part(window), g, at, radius) != lowest {
		t.Fatalf("%v within %v m: mean %v, want %v", at, radius, gotMean, mean)
	}
	for code, want := range counts {
		if shares[code] != float64(want)/float64(n) {
			t.Fatalf("%v within %v m: share of %d is %v", at, radius, code, shares[code])
		}
	}
}

// TestWeights: by hand, from the formula. u = r halves a weight, u = 2r leaves a
// fifth.
func TestWeights(t *testing.T) {
	u := func(m float64) *float64 { return &m }
	on := func(text string) Interval { d, _ := ParseDate(text); return d }
	record := func(date string, m *float64, use Use) Cleaned {
		return Cleaned{Record: Record{Date: on(date), UncertaintyM: m, Point: orb.Point{1, 2}}, Name: "Bufo bufo", Use: use}
	}
	absent := record("2025-05-01", u(1), Fine)
	absent.Status = Absent
	other := record("2025-05-01", u(1), Fine)
	other.Name = "Rana temporaria"
	c := Cleaning{Records: []Cleaned{
		record("2025-05-01", u(100), Fine), record("2025-05-01", u(200), Fine), record("2010-05-01", u(100), Fine),
		record("1990-05-01", u(100), Fine), record("2025-05-01", u(100), Held), record("2025-05-01", u(100), Coarse),
		record("2025-05-01", nil, Fine), absent, other,
	}}
	got := c.Points("BUFO BUFO", worldToday, 100)
	want := []float64{0.5, 0.2, 0.25}
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		if math.Abs(got[i].Weight-want[i]) > 1e-15 || got[i].At != (orb.Point{1, 2}) {
			t.Errorf("point %d: %v, want %v", i, got[i], want[i])
		}
	}
}
