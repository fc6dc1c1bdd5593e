package gdal

// #include "shim.h"
import "C"

import (
	"errors"
	"unsafe"
)

var errNoGeometry = errors.New("gdal: no geometry was given")

// Valid tells whether a geometry is valid by the OGC's rules, or what is wrong
// and where.
func Valid(wkb []byte) (reason string, ok bool) {
	initialise()
	if len(wkb) == 0 {
		return errNoGeometry.Error(), false
	}
	var s C.shim_status
	var text *C.char
	valid := C.shim_valid((*C.uchar)(&wkb[0]), C.size_t(len(wkb)), &text, &s)
	return take(text), valid != 0
}

// MakeValid repairs a geometry (GEOS's MakeValid, the lines kept).
func MakeValid(wkb []byte) ([]byte, error) {
	return changed("repair", wkb, func(in *C.uchar, n C.size_t, out **C.uchar, size *C.size_t, s *C.shim_status) C.int {
		return C.shim_make_valid(in, n, out, size, s)
	})
}

// Buffer widens a geometry by a distance, with so many segments to a quarter
// circle.
func Buffer(wkb []byte, distance float64, segments int) ([]byte, error) {
	return changed("widen", wkb, func(in *C.uchar, n C.size_t, out **C.uchar, size *C.size_t, s *C.shim_status) C.int {
		return C.shim_buffer(in, n, C.double(distance), C.int(segments), out, size, s)
	})
}

func changed(op string, wkb []byte, work func(*C.uchar, C.size_t, **C.uchar, *C.size_t, *C.shim_status) C.int) ([]byte, error) {
	initialise()
	if len(wkb) == 0 {
		return nil, errNoGeometry
	}
	var s C.shim_status
	var out *C.uchar
	var size C.size_t
	if work((*C.uchar)(unsafe.Pointer(&wkb[0])), C.size_t(len(wkb)), &out, &size, &s) == 0 {
		if out != nil {
			C.shim_free(unsafe.Pointer(out))
		}
		return nil, failure(&s, op, "a geometry", "")
	}
	return takeBytes(out, size), nil
}
