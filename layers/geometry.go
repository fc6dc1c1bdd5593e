package layers

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"

	"tussock/layers/internal/gdal"
)

// ValidateGeometry holds a geometry against OGC 06-103r4 (simple features): ok,
// or the first reason why not and the point where. No geometry is valid.
func ValidateGeometry(g orb.Geometry) (reason string, at orb.Point, ok bool) {
	if g == nil {
		return "", orb.Point{}, true
	}
	if reason, at, ok = checkShape(g); !ok {
		return reason, at, false
	}
	raw, err := wkb.Marshal(g)
	if err != nil {
		return err.Error(), orb.Point{}, false
	}
	reason, at[0], at[1], ok, err = gdal.Valid(raw)
	if err != nil {
		return err.Error(), orb.Point{}, false
	}
	return reason, at, ok
}

// checkShape finds what GEOS would refuse to read, and names the place.
func checkShape(g orb.Geometry) (reason string, at orb.Point, ok bool) {
	runs, fewest := vertices(g), 1
	switch g := g.(type) {
	case orb.Point:
		runs = [][]orb.Point{{g}}
	case orb.LineString, orb.MultiLineString:
		fewest = 2
	case orb.Ring, orb.Polygon, orb.MultiPolygon:
		fewest = 4
	case orb.Collection:
		for _, part := range g {
			if reason, at, ok = checkShape(part); !ok {
				return reason, at, false
			}
		}
	}
	for _, run := range runs {
		if reason, at, ok = checkRun(run, fewest); !ok {
			return reason, at, false
		}
	}
	return "", orb.Point{}, true
}

// checkRun holds a run of vertices to a number of points; four make a ring.
func checkRun(run []orb.Point, fewest int) (reason string, at orb.Point, ok bool) {
	for _, p := range run {
		if math.IsNaN(p[0]+p[1]) || math.IsInf(p[0], 0) || math.IsInf(p[1], 0) {
			return "a vertex is not a place", p, false
		}
	}
	switch {
	case len(run) == 0:
		return "", orb.Point{}, true
	case fewest == 4 && run[0] != run[len(run)-1]:
		return "a ring is not closed", run[len(run)-1], false
	case len(run) < fewest:
		return fmt.Sprintf("%d points where at least %d are needed", len(run), fewest), run[0], false
	}
	return "", orb.Point{}, true
}

// RepairGeometry makes a valid geometry of the same kind (a polygon may become
// a multipolygon): GEOS' structure method, by which rings keep their roles and
// what has collapsed goes.
func RepairGeometry(g orb.Geometry) (orb.Geometry, error) {
	if g == nil {
		return nil, nil
	}
	raw, err := wkb.Marshal(g)
	if err != nil {
		return nil, fmt.Errorf("layers: %w", err)
	}
	if raw, err = gdal.MakeValid(raw); err != nil {
		return nil, err
	}
	mended, err := wkb.Unmarshal(raw)
	if err != nil {
		return nil, fmt.Errorf("layers: %w", err)
	}
	return mended, nil
}
