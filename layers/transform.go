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
	failed  []uint8           // scratch
	closed  bool
}

// NewTransform prepares a transform. Between equal CRSs it is the identity. A
// local CRS transforms to nothing but itself, and a CRS that is not known to
// nothing at all.
func NewTransform(from, to CRS) (*Transform, error) {
	if err := joinable(from, to); err != nil {
		return nil, err
	}
	if from.Equal(to) {
		return &Transform{}, nil
	}
	carrier, err := gdal.NewTransformer(from.wkt, to.wkt)
	if err != nil {
		return nil, fmt.Errorf("%w: from %q to %q: %w", ErrCRS, from.name, to.name, err)
	}
	return &Transform{carrier: carrier}, nil
}

// joinable tells why no transform can exist between two CRSs.
func joinable(from, to CRS) error {
	switch {
	case from.IsZero() || to.IsZero():
		return fmt.Errorf("%w: it is not known on one side of a transform", ErrCRS)
	case (from.local || to.local) && !from.Equal(to):
		return fmt.Errorf("%w: %q and %q cannot be joined, for a local system has no place on the Earth", ErrCRS, from.name, to.name)
	}
	return nil
}

// Points transforms in place. A point that has no place in the other CRS, or is
// not finite, becomes NaN, NaN; that is no error. What becomes of a point does
// not depend on the others.
func (t *Transform) Points(xs, ys []float64) error {
	switch {
	case t.closed:
		return gdal.ErrClosed
	case len(xs) != len(ys):
		return fmt.Errorf("layers: %d x but %d y to transform", len(xs), len(ys))
	}
	if cap(t.failed) < len(xs) {
		t.failed = make([]uint8, len(xs))
	}
	failed := t.failed[:len(xs)]
	if t.carrier != nil {
		if err := t.carrier.Points(xs, ys, failed); err != nil {
			return err
		}
	}
	for i := range xs {
		if failed[i] != 0 || !finite(xs[i]) || !finite(ys[i]) {
			xs[i], ys[i] = math.NaN(), math.NaN()
		}
	}
	return nil
}

// Geometry transforms a copy of a geometry, vertex by vertex. A vertex without
// a place in the other CRS is an error that names it.
func (t *Transform) Geometry(g orb.Geometry) (orb.Geometry, error) {
	switch g := g.(type) {
	case nil:
		return nil, nil
	case orb.Point:
		run := []orb.Point{g}
		err := t.run(run)
		return run[0], err
	case orb.Bound:
		return t.Geometry(g.ToPolygon())
	}
	if parts, ok := g.(orb.Collection); ok {
		return t.collection(parts)
	}
	moved := orb.Clone(g)
	for _, points := range vertices(moved) {
		if err := t.run(points); err != nil {
			return nil, err
		}
	}
	return moved, nil
}

func (t *Transform) collection(parts orb.Collection) (orb.Geometry, error) {
	moved := make(orb.Collection, len(parts))
	for i, part := range parts {
		var err error
		if moved[i], err = t.Geometry(part); err != nil {
			return nil, err
		}
	}
	return moved, nil
}

// run transforms points in place.
func (t *Transform) run(points []orb.Point) error {
	xs, ys := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		xs[i], ys[i] = p[0], p[1]
	}
	if err := t.Points(xs, ys); err != nil {
		return err
	}
	for i, p := range points {
		if math.IsNaN(xs[i]) {
			return fmt.Errorf("%w: the vertex %.9g, %.9g has no place in the other one", ErrCRS, p[0], p[1])
		}
		points[i] = orb.Point{xs[i], ys[i]}
	}
	return nil
}

// vertices are the runs of points of a geometry that is no point and no
// collection, to be changed in place.
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
	}
	return runs
}

// Close lets go of the transform; a second Close is an error.
func (t *Transform) Close() error {
	if t.closed {
		return gdal.ErrClosed
	}
	t.closed = true
	if t.carrier == nil {
		return nil
	}
	return t.carrier.Close()
}
