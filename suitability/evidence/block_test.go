package evidence

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// TestBlocksCoverTheGrid holds that every cell has one block, that blocks are
// squares, and that places beyond the rim belong to the nearest block.
func TestBlocksCoverTheGrid(t *testing.T) {
	g := layers.Grid{West: 100, North: 5000, Cell: 25, Cols: 170, Rows: 95}
	b := NewBlocks(g, 2000)
	if b.Cells != 80 || b.Count() != 3*2 || b.Side() != 2000 {
		t.Fatalf("%d cells, %d blocks of %g m", b.Cells, b.Count(), b.Side())
	}
	seen := map[int]int{}
	for row := range g.Rows {
		for col := range g.Cols {
			seen[b.Of(col, row)]++
			if b.At(g.Centre(col, row)) != b.Of(col, row) {
				t.Fatalf("cell %d, %d and its centre lie in two blocks", col, row)
			}
		}
	}
	for at, want := range []int{80 * 80, 80 * 80, 10 * 80, 80 * 15, 80 * 15, 10 * 15} {
		if seen[at] != want {
			t.Errorf("block %d has %d cells, not %d", at, seen[at], want)
		}
	}
	if b.At(orb.Point{-1e6, 1e6}) != 0 || b.At(orb.Point{1e6, -1e6}) != 5 {
		t.Error("a place beyond the rim is in no rim block")
	}
}

// TestFoldsAreBalanced deals random counts: no two folds may differ by more
// records than the fullest block holds, nor may any be empty; the same seed
// deals the same.
func TestFoldsAreBalanced(t *testing.T) {
	const seed = 12
	random := rand.New(rand.NewPCG(seed, 0))
	g := layers.Grid{Cell: 100, Cols: 200, Rows: 300}
	b := NewBlocks(g, 2000)
	for range 50 {
		records := make([]int, b.Count())
		fullest := 0
		for i := range records {
			if random.IntN(3) == 0 {
				records[i] = random.IntN(9)
				fullest = max(fullest, records[i])
			}
		}
		f, again := b.Deal(5, records, 7), b.Deal(5, records, 7)
		held, blocks := make([]int, f.N), make([]int, f.N)
		for i, n := range records {
			held[f.of[i]] += n
			blocks[f.of[i]]++
			if again.of[i] != f.of[i] {
				t.Fatalf("seed %d: block %d is dealt twice in two ways", seed, i)
			}
		}
		least, most := held[0], held[0]
		for _, n := range held {
			least, most = min(least, n), max(most, n)
		}
		if f.N != 5 || most-least > fullest || least == 0 {
			t.Errorf("seed %d: folds hold %v records in %v blocks; the fullest block has %d", seed, held, blocks, fullest)
		}
	}
	few := make([]int, b.Count())
	few[3], few[9] = 4, 1
	if f := b.Deal(5, few, 1); f.N != 2 || f.of[3] == f.of[9] {
		t.Errorf("two blocks with records give %d folds", f.N)
	}
}

// TestVariogramByHand: five places on a line, 100 m apart, values 0 2 0 2 0 (a
// square one across, so that the bound has two sides). Pairs 100 m apart differ
// by 2 (γ = 2), those 200 m apart not at all (γ = 0).
func TestVariogramByHand(t *testing.T) {
	places := []orb.Point{{0, 0}, {100, 0}, {200, 0}, {300, 0}, {400, 0}, {0, 1000}}
	v := newVariogram(places, []float64{0, 2, 0, 2, 0, 0})
	// The variance of 0 2 0 2 0 0 is (4 + 4)/6 − (4/6)² = 8/9.
	if math.Abs(v.Sill-8.0/9) > 1e-12 {
		t.Errorf("sill %g", v.Sill)
	}
	at := func(d float64) int { return int(d / v.Lag) }
	if v.Lag != 400.0/2/variogramLags || v.Gamma[at(100)] != 2 || v.Pairs[at(100)] != 4 {
		t.Errorf("lag %g, gamma %v of %v pairs", v.Lag, v.Gamma, v.Pairs)
	}
	if v.Beyond || math.Abs(v.Range-(100+v.Lag/2)) > v.Lag {
		t.Errorf("range %g, beyond %t", v.Range, v.Beyond)
	}
	if v := newVariogram(places, []float64{3, 3, 3, 3, 3, 3}); v.Range != 0 {
		t.Errorf("values that are alike have the range %g", v.Range)
	}
}

// TestVariogramFindsAKnownRange: the mean of white noise over squares of side w
// is alike up to w, its covariance falling as (1 − dx/w)(1 − dy/w); along an axis
// γ reaches 95 % of the sill at 0.95 w, on a diagonal at 0.78·√2 w. One draw of
// noise may be off: the median of nine is held.
func TestVariogramFindsAKnownRange(t *testing.T) {
	const width = 12
	var ranges []float64
	for seed := range uint64(9) {
		v := newVariogram(smoothNoise(seed, 160, width, 4))
		if v.Beyond {
			t.Errorf("seed %d: the sill was not reached", seed)
		}
		ranges = append(ranges, v.Range/width)
	}
	slices.Sort(ranges)
	t.Logf("ranges by width: %.2f", ranges)
	if ranges[4] < 0.8 || ranges[4] > 1.2 {
		t.Errorf("the median range is %.2f times the width within which noise is alike", ranges[4])
	}
}

// smoothNoise is white noise averaged over squares, at every so many of its
// places, which are 1 m apart.
func smoothNoise(seed uint64, side, width, step int) (places []orb.Point, values []float64) {
	random := rand.New(rand.NewPCG(seed, 0))
	noise := make([]float64, (side+width)*(side+width))
	for i := range noise {
		noise[i] = random.NormFloat64()
	}
	for y := 0; y < side; y += step {
		for x := 0; x < side; x += step {
			sum := 0.0
			for i := range width * width {
				sum += noise[(y+i/width)*(side+width)+x+i%width]
			}
			places = append(places, orb.Point{float64(x), float64(y)})
			values = append(values, sum)
		}
	}
	return places, values
}

func TestBlockSideIsTheWidestReason(t *testing.T) {
	g := layers.Grid{Cell: 30, Cols: 1000, Rows: 2000}
	for _, c := range []struct {
		effect, alike, want float64
		cut                 bool
	}{
		{100, 0, 2010, false},      // 2 km, in whole cells
		{900, 1000, 3600, false},   // four times the scale of effect
		{100, 5000, 5010, false},   // as far as habitat is alike
		{100, 25000, 10020, true},  // which counts for a third of the shorter side
		{3000, 25000, 12000, true}, // and takes nothing from the other reasons
	} {
		s := blockSide(g, c.effect, Variogram{Range: c.alike})
		if want := math.Ceil(c.want/30) * 30; s.Metres != want && s.Metres != c.want || s.Cut != c.cut {
			t.Errorf("effect %g m, alike within %g m: side %g m, cut %t; not %g m", c.effect, c.alike, s.Metres, s.Cut, c.want)
		}
	}
}
