package layers

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/layers/internal/gdal"
)

// PointScale is the ratio of a length on the map to that on the ellipsoid at a
// point of a projected CRS: of the two principal scales (Snyder 1987, Map
// Projections: A Working Manual, chapter 4) the one farther from 1.
func PointScale(crs CRS, at orb.Point) (float64, error) {
	if crs.IsLocal() {
		return 1, nil
	}
	t, err := NewTransform(crs, WGS84())
	if err != nil {
		return 0, err
	}
	defer t.Close()
	const step = 50.0
	xs := []float64{at[0] - step, at[0] + step, at[0], at[0]}
	ys := []float64{at[1], at[1], at[1] - step, at[1] + step}
	if err := t.Points(xs, ys); err != nil {
		return 0, err
	}
	east := 2 * step / GeodesicDistance(orb.Point{xs[0], ys[0]}, orb.Point{xs[1], ys[1]})
	north := 2 * step / GeodesicDistance(orb.Point{xs[2], ys[2]}, orb.Point{xs[3], ys[3]})
	if math.IsNaN(east) || math.IsNaN(north) {
		return 0, fmt.Errorf("%w: %q has no point %g %g", ErrCRS, crs.Name(), at[0], at[1])
	}
	if math.Abs(north-1) > math.Abs(east-1) {
		return north, nil
	}
	return east, nil
}

// GeodesicArea is the area on the CRS' ellipsoid, in square metres, of a polygon
// or multipolygon whose edges are straight in the CRS; other geometries have
// none. In a local CRS it is the plane area.
func GeodesicArea(crs CRS, g orb.Geometry) (float64, error) {
	if crs.IsLocal() {
		return math.Abs(planar.Area(g)), nil
	}
	t, err := NewTransform(crs, WGS84())
	if err != nil {
		return 0, err
	}
	defer t.Close()
	if g, err = t.Geometry(g); err != nil {
		return 0, err
	}
	switch g := g.(type) {
	case orb.Polygon:
		return polygonArea(g), nil
	case orb.MultiPolygon:
		total := 0.0
		for _, p := range g {
			total += polygonArea(p)
		}
		return total, nil
	}
	return 0, nil
}

// polygonArea is the outer ring without its holes, whichever way they turn.
func polygonArea(p orb.Polygon) float64 {
	total := 0.0
	for i, ring := range p {
		lon, lat := make([]float64, len(ring)), make([]float64, len(ring))
		for k, v := range ring {
			lon[k], lat[k] = v[0], v[1]
		}
		area, _ := gdal.WGS84.RingArea(lon, lat)
		if i == 0 {
			total += math.Abs(area)
		} else {
			total -= math.Abs(area)
		}
	}
	return total
}

// GeodesicDistance is the length in metres of the shortest line on WGS 84
// between two points in longitude and latitude (Karney 2013, J. Geod. 87:43-55).
func GeodesicDistance(a, b orb.Point) float64 {
	metres, _, _ := gdal.WGS84.Distance(a[0], a[1], b[0], b[1])
	return metres
}
