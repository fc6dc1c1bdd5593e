package layers

import (
	"fmt"
	"regexp"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"

	"tussock/layers/internal/gdal"
)

// ValidateGeometry holds a geometry against OGC 06-103r4 (simple features): ok,
// or the first reason why not and the point where.
func ValidateGeometry(g orb.Geometry) (reason string, at orb.Point, ok bool) {
	raw, err := wkb.Marshal(g)
	if err != nil {
		return err.Error(), orb.Point{}, false
	}
	reason, ok = gdal.Valid(raw)
	if where := reasonPlace.FindStringSubmatch(reason); where != nil {
		at[0], _ = strconv.ParseFloat(where[2], 64)
		at[1], _ = strconv.ParseFloat(where[3], 64)
		reason = where[1]
	}
	return reason, at, ok
}

// RepairGeometry makes a valid geometry of the same kind (a polygon may become
// a multipolygon).
func RepairGeometry(g orb.Geometry) (orb.Geometry, error) { return byWKB(g, gdal.MakeValid) }

// reasonPlace takes GEOS's sentence apart: "Self-intersection at or near point 1 2".
var reasonPlace = regexp.MustCompile(`^(?:.*?: )?(.+?)(?: at or near point |\[)([-+.\deE]+) ([-+.\deE]+)`)

// byWKB hands a geometry to GEOS and takes the answer back.
func byWKB(g orb.Geometry, work func([]byte) ([]byte, error)) (orb.Geometry, error) {
	raw, err := wkb.Marshal(g)
	if err != nil {
		return nil, fmt.Errorf("layers: %w", err)
	}
	if raw, err = work(raw); err != nil {
		return nil, err
	}
	return wkb.Unmarshal(raw)
}

// bufferGeometry is everything within so many metres of a geometry, round caps;
// a quarter circle is cut into so many segments.
func bufferGeometry(g orb.Geometry, metres float64, segments int) (orb.Geometry, error) {
	return byWKB(g, func(raw []byte) ([]byte, error) { return gdal.Buffer(raw, metres, segments) })
}
