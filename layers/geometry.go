package layers

import (
	"errors"

	"github.com/paulmach/orb"
)

// ValidateGeometry holds a geometry against OGC 06-103r4 (simple features): ok,
// or the first reason why not and the point where.
func ValidateGeometry(g orb.Geometry) (reason string, at orb.Point, ok bool) {
	return "", orb.Point{}, true
}

// RepairGeometry makes a valid geometry of the same kind (a polygon may become
// a multipolygon).
func RepairGeometry(g orb.Geometry) (orb.Geometry, error) { return nil, errors.New("not written yet") }

// bufferGeometry is everything within so many metres of a geometry, round caps;
// a quarter circle is cut into so many segments.
func bufferGeometry(g orb.Geometry, metres float64, segments int) (orb.Geometry, error) {
	return nil, errors.New("not written yet")
}
