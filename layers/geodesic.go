package layers

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/layers/internal/gdal"
)

// wgs84Ellipsoid is EPSG ellipsoid 7030.
var wgs84Ellipsoid = gdal.Ellipsoid{A: 6378137, F: 1 / 298.257223563}

// PointScale is the ratio of a length on the map to that on the ellipsoid at a
// point of a projected CRS: of the two principal scales (the semi-axes of
// Tissot's indicatrix; Snyder 1987, Map Projections: A Working Manual, chapter
// 4) the one farther from 1. In a local CRS it is 1.
func PointScale(crs CRS, at orb.Point) (float64, error) {
	switch {
	case crs.local:
		return 1, nil
	case !crs.projected:
		return 0, fmt.Errorf("%w: %q is no map projection", ErrCRS, crs.name)
	}
	greatest, least, err := gdal.Scales(crs.wkt, at[0], at[1])
	if err != nil || !finite(greatest) || !finite(least) {
		return 0, fmt.Errorf("%w: %q has no scale at %.9g, %.9g", ErrCRS, crs.name, at[0], at[1])
	}
	if math.Abs(greatest-1) >= math.Abs(least-1) {
		return greatest, nil
	}
	return least, nil
}

// GeodesicDistance is the length in metres of the shortest line on WGS 84
// between two points in longitude and latitude (Karney 2013, J. Geod. 87:43-55).
func GeodesicDistance(a, b orb.Point) float64 {
	return wgs84Ellipsoid.Distance(a[0], a[1], b[0], b[1])
}

// GeodesicArea is the area on the CRS' ellipsoid, in square metres, of a polygon
// or multipolygon whose edges are straight in the CRS; other geometries have
// none. Rings may turn either way; inner rings are taken off. In a local CRS it
// is the plane area.
//
// An edge that is straight on the map is no geodesic, so edges are cut into
// equal pieces and the sums for n and 2n pieces are extrapolated: the error of a
// chord falls with n², so (4·A₂ₙ − Aₙ)/3 is good to n⁴.
func GeodesicArea(crs CRS, g orb.Geometry) (float64, error) {
	if crs.local {
		return math.Abs(planar.Area(g)) * crs.unit * crs.unit, nil
	}
	s, err := newSurveyor(crs)
	if err != nil {
		return 0, err
	}
	area, err := s.area(g)
	return area, errors.Join(err, s.transform.Close())
}

// surveyor measures on the ellipsoid of one CRS. It serves one goroutine.
type surveyor struct {
	transform *Transform // to longitude and latitude on the CRS' own datum
	ellipsoid gdal.Ellipsoid
	piece     float64 // longest piece of an edge, in CRS units
}

// surveyPiece is the longest piece of an edge in metres, and surveyPieces the
// most that an edge is cut into.
const (
	surveyPiece  = 2000
	surveyPieces = 256
)

func newSurveyor(crs CRS) (*surveyor, error) {
	if crs.IsZero() {
		return nil, fmt.Errorf("%w: an area needs to know it", ErrCRS)
	}
	base, err := gdal.Geographic(crs.wkt)
	if err != nil {
		return nil, fmt.Errorf("%w: %q: %w", ErrCRS, crs.name, err)
	}
	t, err := NewTransform(crs, crsOf(base))
	if err != nil {
		return nil, err
	}
	s := &surveyor{transform: t, ellipsoid: crs.ellipsoid, piece: surveyPiece / crs.unit}
	if crs.geographic {
		s.piece = surveyPiece / crs.ellipsoid.A / crs.unit
	}
	return s, nil
}

func (s *surveyor) area(g orb.Geometry) (float64, error) {
	switch g := g.(type) {
	case orb.Ring:
		return s.ring(g)
	case orb.Bound:
		return s.area(g.ToPolygon())
	case orb.Polygon:
		total := 0.0
		for i, r := range g {
			area, err := s.ring(r)
			if err != nil {
				return 0, err
			}
			if i > 0 {
				area = -area
			}
			total += area
		}
		return total, nil
	case orb.MultiPolygon:
		total := 0.0
		for _, p := range g {
			area, err := s.area(p)
			if err != nil {
				return 0, err
			}
			total += area
		}
		return total, nil
	}
	return 0, nil
}

func (s *surveyor) ring(r orb.Ring) (float64, error) {
	coarse, err := s.ringIn(r, 1)
	if err != nil {
		return 0, err
	}
	fine, err := s.ringIn(r, 2)
	return (4*fine - coarse) / 3, err
}

// ringIn is the area with every edge cut into times its number of pieces.
func (s *surveyor) ringIn(r orb.Ring, times int) (float64, error) {
	var points []orb.Point
	for i := range r {
		from, to := r[i], r[(i+1)%len(r)]
		length := math.Hypot(to[0]-from[0], to[1]-from[1])
		if !finite(length) {
			return 0, fmt.Errorf("layers: the vertex %g, %g is not a place", from[0], from[1])
		}
		n := times * int(min(max(math.Ceil(length/s.piece), 1), surveyPieces))
		for k := range n {
			f := float64(k) / float64(n)
			points = append(points, orb.Point{from[0] + f*(to[0]-from[0]), from[1] + f*(to[1]-from[1])})
		}
	}
	if err := s.transform.run(points); err != nil {
		return 0, err
	}
	lons, lats := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		lons[i], lats[i] = p[0], p[1]
	}
	area, _ := s.ellipsoid.Area(lons, lats)
	return math.Abs(area), nil
}
