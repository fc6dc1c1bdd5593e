package gdal

// #include "shim.h"
import "C"

// Ellipsoid is a figure of the Earth.
type Ellipsoid struct {
	A float64 // equatorial radius, metres
	F float64 // flattening
}

// The ellipsoids in use (EPSG dataset, 7030 and 7019).
var (
	WGS84 = Ellipsoid{6378137, 1 / 298.257223563}
	GRS80 = Ellipsoid{6378137, 1 / 298.257222101}
)

// RingArea is the signed geodesic area of a closed ring, counter-clockwise
// positive, in square metres, and its perimeter in metres (Karney 2013, Journal
// of Geodesy 87:43-55). The last point may repeat the first.
func (e Ellipsoid) RingArea(lon, lat []float64) (area, perimeter float64) {
	if len(lon) == 0 || len(lon) != len(lat) {
		return 0, 0
	}
	var p C.double
	a := C.shim_ring_area(C.double(e.A), C.double(e.F), C.int(len(lon)), (*C.double)(&lon[0]), (*C.double)(&lat[0]), &p)
	return float64(a), float64(p)
}

// Distance is the length of the geodesic between two points, in metres, and its
// azimuths at both ends, in degrees clockwise from north.
func (e Ellipsoid) Distance(lon1, lat1, lon2, lat2 float64) (metres, azimuth1, azimuth2 float64) {
	var a1, a2 C.double
	d := C.shim_distance(C.double(e.A), C.double(e.F), C.double(lon1), C.double(lat1), C.double(lon2), C.double(lat2), &a1, &a2)
	return float64(d), float64(a1), float64(a2)
}
