package gdal

// #include "shim.h"
import "C"

import "unsafe"

// Shift tells which operation PROJ takes at a point, its accuracy in metres
// (negative where it is not known), and whether it leaves the datums unjoined.
type Shift struct {
	Operation string
	Accuracy  float64
	Ballpark  bool
}

// NewShift asks about a point of the first of two definitions.
func NewShift(from, to string, x, y float64) (Shift, error) {
	ready()
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_shift(c[0], c[1], C.double(x), C.double(y)) }, from, to)
	out, _, err := settle(&r, tolerant, Error{Op: "join datums"})
	if err != nil {
		return Shift{}, err
	}
	return Shift{Operation: out.text(), Accuracy: out.float(), Ballpark: out.yes()}, nil
}

// Scales are the greatest and least ratio of a length on the map to that on the
// ellipsoid at a point of a projected SRS: the semi-axes of Tissot's indicatrix.
func Scales(wkt string, x, y float64) (greatest, least float64, err error) {
	ready()
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_scale(c[0], C.double(x), C.double(y)) }, wkt)
	out, _, err := settle(&r, tolerant, Error{Op: "find the scale of a projection"})
	if err != nil {
		return 0, 0, err
	}
	return out.float(), out.float(), nil
}

// Ellipsoid is an ellipsoid of revolution.
type Ellipsoid struct {
	A float64 // equatorial radius, metres
	F float64 // flattening
}

// Area is the area in m², counter-clockwise positive, and the perimeter in
// metres of a ring in degrees whose sides are geodesics (Karney 2013, J. Geod.
// 87:43-55). The ring need not repeat its first point.
func (e Ellipsoid) Area(lons, lats []float64) (area, perimeter float64) {
	if len(lons) == 0 || len(lons) != len(lats) {
		return 0, 0
	}
	area = float64(C.tk_polygon_area(C.double(e.A), C.double(e.F), C.int(len(lons)), (*C.double)(&lons[0]), (*C.double)(&lats[0]),
		(*C.double)(unsafe.Pointer(&perimeter))))
	return area, perimeter
}

// Distance is the length in metres of the geodesic between two points.
func (e Ellipsoid) Distance(lon1, lat1, lon2, lat2 float64) float64 {
	return float64(C.tk_distance(C.double(e.A), C.double(e.F), C.double(lon1), C.double(lat1), C.double(lon2), C.double(lat2)))
}
