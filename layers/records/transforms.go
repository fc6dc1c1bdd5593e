package records

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// transforms are the ways from other CRSs to one, each opened once. They serve
// one goroutine.
type transforms struct {
	to    layers.CRS
	known map[layers.CRS]*layers.Transform
}

// from is the way from a CRS, and whether it was opened just now. There are at
// most [mostCRSs] of them, for a source may name a CRS in every row.
func (t *transforms) from(crs layers.CRS) (way *layers.Transform, fresh bool, err error) {
	if way, ok := t.known[crs]; ok {
		return way, false, nil
	}
	if len(t.known) >= mostCRSs {
		return nil, false, fmt.Errorf("the sources name more than %d CRSs", mostCRSs)
	}
	if way, err = layers.NewTransform(crs, t.to); err != nil {
		return nil, false, err
	}
	if t.known == nil {
		t.known = map[layers.CRS]*layers.Transform{}
	}
	t.known[crs] = way
	return way, true, nil
}

// point brings one place over; NaN where it lies nowhere in the other CRS.
func (t *transforms) point(crs layers.CRS, at orb.Point) (orb.Point, error) {
	way, _, err := t.from(crs)
	if err != nil {
		return at, err
	}
	return onePoint(way, at)
}

func (t *transforms) close() {
	for _, way := range t.known {
		_ = way.Close()
	}
}

// nowhere tells a place that a transform could not bring over.
func nowhere(p orb.Point) bool { return math.IsNaN(p[0]) || math.IsNaN(p[1]) }

func onePoint(way *layers.Transform, at orb.Point) (orb.Point, error) {
	xs, ys := []float64{at[0]}, []float64{at[1]}
	err := way.Points(xs, ys)
	return orb.Point{xs[0], ys[0]}, err
}
