package layers

import (
	"errors"

	"github.com/paulmach/orb"
)

// Transform carries points from one CRS to another. It serves one goroutine.
type Transform struct{}

// NewTransform prepares a transform. Between equal CRSs it is the identity. A
// local CRS transforms to nothing but itself, and a CRS that is not known to
// nothing at all.
func NewTransform(from, to CRS) (*Transform, error) { return nil, errors.New("not written yet") }

// Points transforms in place. A point that has no place in the other CRS, or is
// not finite, becomes NaN, NaN; that is no error.
func (t *Transform) Points(xs, ys []float64) error { return errors.New("not written yet") }

// Geometry transforms a copy of a geometry, vertex by vertex. A vertex without
// a place in the other CRS is an error that names it.
func (t *Transform) Geometry(g orb.Geometry) (orb.Geometry, error) {
	return nil, errors.New("not written yet")
}

// Close lets go of the transform; a second Close is an error.
func (t *Transform) Close() error { return nil }

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
	return Shift{}, errors.New("not written yet")
}
