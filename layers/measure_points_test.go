package layers

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func samplePoints() PointKernel {
	rng := rand.New(rand.NewPCG(5, 5))
	return PointKernel{Of: "adder", Points: randomPoints(rng), Radius: 83, Half: 2, Effort: "elev", TypicalEffort: 90}
}

// randomPoints lie in and around the grid; some lie at one place.
func randomPoints(rng *rand.Rand) []WeightedPoint {
	var points []WeightedPoint
	for range 60 {
		at := orb.Point{1000 - 90 + 580*rng.Float64(), 9000 + 90 - 480*rng.Float64()}
		points = append(points, WeightedPoint{at, rng.Float64()})
		if rng.IntN(4) == 0 {
			points = append(points, WeightedPoint{at, rng.Float64() * 3})
		}
	}
	return points
}

func TestPointKernelBruteForce(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	p := samplePoints()
	p.Points = randomPoints(rng)
	w := m.grid.Window().Grow(9)
	got := evalOf(t, p, m, w)
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			c, at := 0.0, m.grid.Centre(col, row)
			for _, point := range p.Points {
				d := math.Hypot(point.At[0]-at[0], point.At[1]-at[1])
				c += point.Weight * max(0, 1-math.Pow(d/83, 2))
			}
			if b := m.blocks["elev"]; b.Window.Has(col, row) && b.Value(col, row) > 90 {
				c /= float64(b.Value(col, row)) / 90
			}
			if want := float32(c / (c + 2)); !sameNumber(got.Value(col, row), want, 1e-6) {
				t.Fatalf("column %d row %d: %g, want %g", col, row, got.Value(col, row), want)
			}
		}
	}
}

// By hand: one point of weight 1 at a centre, 40 m radius, half 2: at 0, 10, 20,
// 30 m c is 1, 15/16, 12/16, 7/16, and at 40 m it is 0.
func TestPointKernelByHand(t *testing.T) {
	m := newMemoryReader(10)
	effort := NewValues(Window{Col: -5, Row: 0, Cols: 10, Rows: 1})
	for i, v := range []float32{30, 30, 30, 30, 30, 60, 15, -1, 30, 30} {
		effort.Values[i] = v
	}
	effort.Values[8] = float32(math.NaN())
	m.addQuantity("effort", effort)
	p := PointKernel{Of: "adder", Points: []WeightedPoint{{m.grid.Centre(0, 0), 1}}, Radius: 40, Half: 2}
	w := Window{Cols: 5, Rows: 1}
	for i, want := range []float64{1.0 / 3, 15.0 / 47, 12.0 / 44, 7.0 / 39, 0} {
		if got := evalOf(t, p, m, w).Values[i]; !sameNumber(got, float32(want), 1e-7) {
			t.Errorf("column %d: %g, want %g", i, got, want)
		}
	}
	p.Effort, p.TypicalEffort = "effort", 30
	for i, want := range []float64{0.5 / 2.5, 15.0 / 47, 12.0 / 44, 7.0 / 39, 0} { // twice the effort; half; nonsense; unknown
		if got := evalOf(t, p, m, w).Values[i]; !sameNumber(got, float32(want), 1e-7) {
			t.Errorf("column %d with effort: %g, want %g", i, got, want)
		}
	}
}

// Taking points away changes only cells within the radius of them and never
// raises one; the order of points means nothing, to the key and to every byte;
// no cell is unknown.
func TestPointKernelLaws(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	all := PointKernel{Of: "adder", Points: randomPoints(rng), Radius: 64, Half: 1.5}
	w := m.grid.Window().Grow(8)
	want := evalOf(t, all, m, w)
	fewer, mixed := all, all
	fewer.Points = slices.Clone(all.Points[:len(all.Points)-5])
	mixed.Points = slices.Clone(all.Points)
	rng.Shuffle(len(mixed.Points), func(i, j int) {
		mixed.Points[i], mixed.Points[j] = mixed.Points[j], mixed.Points[i]
	})
	if mixed.Key() != all.Key() || !sameBits(evalOf(t, mixed, m, w), want) {
		t.Error("the order of points matters")
	}
	if fewer.Key() == all.Key() || fewer.Recipe() != all.Recipe() {
		t.Error("points belong to the key and not to the recipe")
	}
	less := evalOf(t, fewer, m, w)
	for i, v := range less.Values {
		at := m.grid.Centre(w.Col+i%w.Cols, w.Row+i/w.Cols)
		near := slices.ContainsFunc(all.Points[len(fewer.Points):], func(p WeightedPoint) bool {
			return math.Hypot(p.At[0]-at[0], p.At[1]-at[1]) < 64.000001
		})
		switch {
		case v != v || v < 0 || v >= 1:
			t.Fatalf("cell %d: %g", i, v)
		case v > want.Values[i], !near && v != want.Values[i]:
			t.Fatalf("cell %d: %g with fewer points, %g with all", i, v, want.Values[i])
		}
	}
	far := PointKernel{Of: "adder", Points: []WeightedPoint{{orb.Point{1e300, -1e300}, 1}}, Radius: 64, Half: 1}
	for i, v := range evalOf(t, far, m, w).Values {
		if v != 0 {
			t.Fatalf("cell %d: %g from a point far beyond", i, v)
		}
	}
}
