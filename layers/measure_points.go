package layers

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// WeightedPoint is a place that counts with a weight of 0 or more.
type WeightedPoint struct {
	At     orb.Point // in the grid's CRS
	Weight float64
}

// PointKernel is how much is known near by: a truncated kernel over weighted
// points, as accepted records of a species are,
//
//	c = Σ Weight · (1 − (d/Radius)²)  over the points with d < Radius
//	c / max(1, effort/TypicalEffort)  where the effort at the cell is known
//	value = c / (c + Half)
//
// with d the distance in metres from the cell's centre to the point. Points
// beyond the grid count too. The kernel is Epanechnikov's (1969, Theory of
// Probability and its Applications 14:153-158) without its scale. The sum runs
// over the points in the order of x, y and weight.
//
// Unit: none, 0 to 1. Reach: Radius. Never unknown: 0 where there is no point.
type PointKernel struct {
	Of            string // what the points are, such as a species' id
	Points        []WeightedPoint
	Radius        float64 // metres
	Half          float64 // the c that gives 1/2
	Effort        string  // a layer of kind quantity; "" for none
	TypicalEffort float64 // in that layer's unit
}

// Key implements [Measure].
func (p PointKernel) Key() string { return p.Recipe() + " points=" + p.PointsHash() }

// Recipe is the key without the points: what a profile says, whatever is known.
func (p PointKernel) Recipe() string {
	key := fmt.Sprintf("points of=%q radius=%s half=%s", p.Of, keyNumber(p.Radius), keyNumber(p.Half))
	if p.Effort != "" || p.TypicalEffort != 0 {
		key += fmt.Sprintf(" effort=%q typical=%s", p.Effort, keyNumber(p.TypicalEffort))
	}
	return key
}

// PointsHash is the SHA-256 of the points, in which their order means nothing.
func (p PointKernel) PointsHash() string {
	h := sha256.New()
	for _, point := range p.sorted() {
		var b [24]byte
		for i, v := range [3]float64{point.At[0], point.At[1], point.Weight} {
			binary.LittleEndian.PutUint64(b[8*i:], math.Float64bits(v+0)) // −0 is 0
		}
		h.Write(b[:])
	}
	return hex.EncodeToString(h.Sum(nil))
}

// sorted is the points in the order in which they are added.
func (p PointKernel) sorted() []WeightedPoint {
	return slices.SortedFunc(slices.Values(p.Points), func(a, b WeightedPoint) int {
		return cmp.Or(cmp.Compare(a.At[0], b.At[0]), cmp.Compare(a.At[1], b.At[1]), cmp.Compare(a.Weight, b.Weight))
	})
}

// Reach implements [Measure].
func (p PointKernel) Reach() float64 { return p.Radius }

// LayerNames implements [Measure].
func (p PointKernel) LayerNames() []string {
	if p.Effort == "" {
		return nil
	}
	return []string{p.Effort}
}

// Unit implements [Measure].
func (p PointKernel) Unit() string { return "" }

// Check implements [Measure].
func (p PointKernel) Check(r Reader) error {
	wrong := func(what string, v float64, unit string) error {
		if v > 0 && !math.IsInf(v, 0) {
			return nil
		}
		return fmt.Errorf("layers: points of %q: %s is %g%s; it must be more than 0", p.Of, what, v, unit)
	}
	if err := cmp.Or(wrong("the radius", p.Radius, " m"), wrong("half", p.Half, "")); err != nil {
		return err
	}
	for i, point := range p.Points {
		if !finite(point.At[0]) || !finite(point.At[1]) || !finite(point.Weight) || point.Weight < 0 {
			return fmt.Errorf("layers: points of %q: point %d at x %.10g, y %.10g has the weight %g; "+
				"places must be finite and weights 0 or more", p.Of, i+1, point.At[0], point.At[1], point.Weight)
		}
	}
	if p.Effort == "" {
		if p.TypicalEffort != 0 {
			return fmt.Errorf("layers: points of %q: a typical effort without an effort layer; hint: name the layer, or leave the typical effort out", p.Of)
		}
		return nil
	}
	if _, err := layerOfKind(r, fmt.Sprintf("the effort of points of %q", p.Of), p.Effort, Quantity); err != nil {
		return err
	}
	return wrong("the typical effort", p.TypicalEffort, "")
}

// Eval implements [Measure].
func (p PointKernel) Eval(r Reader, w Window) (Block, error) {
	if err := p.Check(r); err != nil {
		return Block{}, err
	}
	sums := make([]float64, w.Cells())
	for _, point := range p.sorted() {
		p.spread(point, r.Grid(), w, sums)
	}
	if p.Effort != "" {
		effort, err := r.Read(p.Effort, w)
		if err != nil {
			return Block{}, err
		}
		p.divide(sums, effort)
	}
	out := Block{Window: w, Values: make([]float32, w.Cells())}
	for i, c := range sums {
		out.Values[i] = float32(c / (c + p.Half))
	}
	return out, nil
}

// spread adds one point to the cells around it. Products are rounded before
// they are added (the conversions to float64), so that no machine fuses the two.
func (p PointKernel) spread(point WeightedPoint, g Grid, w Window, sums []float64) {
	r := orb.Point{p.Radius, p.Radius}
	around := orb.Bound{
		Min: orb.Point{point.At[0] - r[0], point.At[1] - r[1]},
		Max: orb.Point{point.At[0] + r[0], point.At[1] + r[1]},
	}
	part := coveringPart(g, around, w)
	square := float64(p.Radius * p.Radius)
	for row := part.Row; row < part.Bottom(); row++ {
		to := sums[(row-w.Row)*w.Cols:][:w.Cols]
		for col := part.Col; col < part.Right(); col++ {
			at := g.Centre(col, row)
			x, y := at[0]-point.At[0], at[1]-point.At[1]
			if d := float64(x*x) + float64(y*y); d < square {
				to[col-w.Col] += float64(point.Weight * (1 - d/square))
			}
		}
	}
}

// coveringPart is the cells of a window that a bound may touch. Bounds far
// beyond what whole numbers can count are cut first.
func coveringPart(g Grid, b orb.Bound, w Window) Window {
	ground := g.Bound(w.Grow(1))
	if !b.Intersects(ground) {
		return Window{}
	}
	for i := range 2 {
		b.Min[i], b.Max[i] = max(b.Min[i], ground.Min[i]), min(b.Max[i], ground.Max[i])
	}
	return g.Covering(b).Intersect(w)
}

// divide divides by the effort where it is known and above the typical one.
func (p PointKernel) divide(sums []float64, effort Block) {
	w := effort.Window
	for row := w.Row; row < w.Bottom(); row++ {
		to := sums[(row-w.Row)*w.Cols:][:w.Cols]
		for i, e := range effort.ValueRow(row) {
			if times := float64(e) / p.TypicalEffort; times > 1 { // false where unknown
				to[i] /= times
			}
		}
	}
}
