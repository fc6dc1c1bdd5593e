package gdal

// #include "shim.h"
import "C"

import (
	"errors"
	"unsafe"
)

var errNoGeometry = errors.New("gdal: no geometry was given")

// Valid holds a geometry against the rules of OGC simple features: the reason
// why it is none of them, and a point where, are for ok = false.
func Valid(wkb []byte) (reason string, x, y float64, ok bool, err error) {
	if len(wkb) == 0 {
		return "", 0, 0, false, errNoGeometry
	}
	r := C.tk_valid(unsafe.Pointer(&wkb[0]), C.size_t(len(wkb)))
	out, _, err := settle(&r, tolerant, Error{Op: "check a geometry"})
	if err != nil {
		return "", 0, 0, false, err
	}
	ok = out.yes()
	return out.text(), out.float(), out.float(), ok, nil
}

// MakeValid mends a geometry by GEOS's structure method: rings keep their roles,
// what has collapsed goes.
func MakeValid(wkb []byte) ([]byte, error) {
	if len(wkb) == 0 {
		return nil, errNoGeometry
	}
	r := C.tk_make_valid(unsafe.Pointer(&wkb[0]), C.size_t(len(wkb)))
	return made(&r, "mend a geometry")
}

// Buffer is all within a width of a geometry, a quarter circle in so many
// segments.
func Buffer(wkb []byte, width float64, segments int) ([]byte, error) {
	if len(wkb) == 0 {
		return nil, errNoGeometry
	}
	r := C.tk_buffer(unsafe.Pointer(&wkb[0]), C.size_t(len(wkb)), C.double(width), C.int(segments))
	return made(&r, "widen a geometry")
}

func made(r *C.tk_reply, op string) ([]byte, error) {
	out, _, err := settle(r, tolerant, Error{Op: op})
	if err != nil {
		return nil, err
	}
	return out.bytes(), nil
}
