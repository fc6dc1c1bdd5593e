package layers

import (
	"errors"

	"github.com/paulmach/orb"
)

// PointScale is the ratio of a length on the map to that on the ellipsoid at a
// point of a projected CRS: of the two principal scales (Snyder 1987, Map
// Projections: A Working Manual, chapter 4) the one farther from 1.
func PointScale(crs CRS, at orb.Point) (float64, error) { return 0, errors.New("not written yet") }

// GeodesicArea is the area on the CRS' ellipsoid, in square metres, of a polygon
// or multipolygon whose edges are straight in the CRS; other geometries have
// none. In a local CRS it is the plane area.
func GeodesicArea(crs CRS, g orb.Geometry) (float64, error) { return 0, errors.New("not written yet") }

// GeodesicDistance is the length in metres of the shortest line on WGS 84
// between two points in longitude and latitude (Karney 2013, J. Geod. 87:43-55).
func GeodesicDistance(a, b orb.Point) float64 { return 0 }
