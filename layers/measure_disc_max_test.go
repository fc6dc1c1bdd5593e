package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// slowMaxWithin tries every cell of every disc.
func slowMaxWithin(source Block, w Window, radius, cell float64) Block {
	out := NewValues(w)
	n := int(radius/cell) + 1
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			all, known, best := 0, 0, math.Inf(-1)
			for y := -n; y <= n; y++ {
				for x := -n; x <= n; x++ {
					if math.Hypot(float64(x), float64(y))*cell > radius*(1+1e-10) {
						continue
					}
					all++
					if v := float64(source.Value(col+x, row+y)); v == v {
						known, best = known+1, max(best, v)
					}
				}
			}
			if float64(known) >= 0.6*float64(all)-1e-9 {
				out.ValueRow(row)[col-w.Col] = float32(best)
			}
		}
	}
	return out
}

// randomNumbers is numbers of every sign with holes, for a window grown by n
// cells and a little more.
func randomNumbers(random *rand.Rand, w Window, n int) Block {
	source := NewValues(w.Grow(n + random.IntN(3)))
	holes := random.Float64() * 0.7
	for i := range source.Values {
		if random.Float64() >= holes {
			source.Values[i] = float32(random.NormFloat64() * math.Pow(10, float64(random.IntN(6)-3)))
		}
	}
	return source
}

func sameNumbers(t *testing.T, what string, got, want Block) {
	t.Helper()
	for row := want.Window.Row; row < want.Window.Bottom(); row++ {
		for col := want.Window.Col; col < want.Window.Right(); col++ {
			g, w := got.Value(col, row), want.Value(col, row)
			if g != w && (g == g || w == w) {
				t.Fatalf("%s: cell %d %d: %g, not %g", what, col, row, g, w)
			}
		}
	}
}

func TestMaxWithinAgainstBruteForce(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	for range 60 {
		cell := []float64{1, 10, 25, 0.3}[random.IntN(4)]
		radius := cell * []float64{0.4, 1, 1.5, 2, 3, 5, 7.3, 11}[random.IntN(8)]
		w := Window{Col: random.IntN(20) - 10, Row: random.IntN(20) - 10, Cols: 1 + random.IntN(30), Rows: 1 + random.IntN(12)}
		source := randomNumbers(random, w, ReachOfDisc(radius, cell))
		what := fmt.Sprintf("radius %g, cell %g, %+v", radius, cell, w)
		sameNumbers(t, what, MaxWithin(source, w, radius, cell), slowMaxWithin(source, w, radius, cell))
	}
}

// A law: a part of the window gives the same cells.
func TestMaxWithinIsTheSameInAnyWindow(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	w := Window{Col: 3, Row: -7, Cols: 60, Rows: 40}
	source := randomNumbers(random, w, 12)
	whole := MaxWithin(source, w, 300, 25)
	for range 20 {
		part := Window{Col: w.Col + random.IntN(50), Row: w.Row + random.IntN(30), Cols: 1 + random.IntN(10), Rows: 1 + random.IntN(10)}
		sameNumbers(t, fmt.Sprintf("%+v", part), MaxWithin(source, part, 300, 25), whole.Part(part))
	}
}

func BenchmarkMaxWithin(b *testing.B) {
	w := Window{Cols: 1024, Rows: 1024}
	for _, cells := range []int{8, 40} {
		b.Run(fmt.Sprintf("radius=%d", cells), func(b *testing.B) {
			source := randomNumbers(rand.New(rand.NewPCG(1, 1)), w, cells)
			b.SetBytes(int64(4 * w.Cells()))
			b.ReportAllocs()
			for b.Loop() {
				MaxWithin(source, w, float64(cells)*25, 25)
			}
		})
	}
}
