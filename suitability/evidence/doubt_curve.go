package evidence

import (
	"math"
	"math/rand/v2"
	"slices"

	"tussock/suitability"
)

// drawCurve moves a curve's knots. Every knot takes two normal variates, used or
// not, so that the stream does not depend on the curve's numbers.
func (d Doubt) drawCurve(r *rand.Rand, c suitability.Curve) suitability.Curve {
	x, y := make([]float64, len(c)), make([]float64, len(c))
	for i, k := range c {
		ex, ey := r.NormFloat64(), r.NormFloat64()
		x[i] = k.X * math.Exp(d.KnotX*ex)
		y[i] = min(max(k.Y+d.KnotY*ey, 0), 1)
	}
	slices.Sort(x) // the k-th knot takes the k-th place
	y[0], y[len(y)-1] = c[0].Y, c[len(c)-1].Y
	keepShape(y, func(i int) float64 { return c[i].Y })
	drawn := make(suitability.Curve, len(c))
	for i := range drawn {
		drawn[i] = suitability.Knot{X: x[i], Y: y[i]}
	}
	apart(drawn)
	return drawn
}

// keepShape lets y rise only where the stated heights rise, fall only where they
// fall, and stay where they stay: from the left, then from the right, so that
// both ends are kept.
func keepShape(y []float64, stated func(int) float64) {
	hold := func(i, by int) {
		if stated(i) >= stated(by) {
			y[i] = max(y[i], y[by])
		}
		if stated(i) <= stated(by) {
			y[i] = min(y[i], y[by])
		}
	}
	for i := 1; i < len(y)-1; i++ {
		hold(i, i-1)
	}
	for i := len(y) - 2; i > 0; i-- {
		hold(i, i+1)
	}
}

// apart keeps knots a float32 step apart, as curves must be, and within float32.
func apart(c suitability.Curve) {
	before := float32(math.Inf(-1))
	for i := range c {
		x := float32(min(max(c[i].X, -math.MaxFloat32/2), math.MaxFloat32/2))
		if !(x > before) {
			x = math.Nextafter32(before, float32(math.Inf(1)))
			c[i].X = float64(x)
		}
		before = x
	}
}

// drawTable moves the ratings of classes as a curve's heights are moved: the
// distinct ratings are its knots, the lowest and the highest are kept, and
// classes that were rated alike stay alike.
func (d Doubt) drawTable(r *rand.Rand, t suitability.Table) suitability.Table {
	levels := slices.DeleteFunc(slices.Clone([]float64(t)), math.IsNaN)
	slices.Sort(levels)
	levels = slices.Compact(levels)
	moved := slices.Clone(levels)
	for i := range moved {
		e := r.NormFloat64()
		if i > 0 && i < len(moved)-1 {
			moved[i] = min(max(moved[i]+d.KnotY*e, 0), 1)
		}
	}
	keepShape(moved, func(i int) float64 { return levels[i] })
	drawn := slices.Clone(t)
	for code, y := range t {
		if i, found := slices.BinarySearch(levels, y); found {
			drawn[code] = moved[i]
		}
	}
	return drawn
}
