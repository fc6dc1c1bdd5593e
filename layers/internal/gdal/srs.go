package gdal

// #include "shim.h"
import "C"

import "fmt"

// SRS is a coordinate reference system.
type SRS struct {
	WKT             string // WKT2:2019
	Name            string
	Authority, Code string // "EPSG", "32617"; "" where there is none
	Geographic      bool
	Projected       bool
	Local           bool    // an engineering CRS, tied to no place on the Earth
	Metres          float64 // of one linear unit; 0 for a geographic CRS
}

// ParseSRS reads a code, a WKT, a PROJ string or PROJJSON. No file and no
// network is asked.
func ParseSRS(text string) (SRS, error) {
	initialise()
	in := cstring(text)
	defer free(in)
	var raw C.shim_srs
	var s C.shim_status
	if C.shim_srs_parse(in, &raw, &s) == 0 {
		return SRS{}, failure(&s, "understand the CRS", fmt.Sprintf("%.60q", text), "")
	}
	return SRS{
		WKT: take(raw.wkt), Name: take(raw.name), Authority: take(raw.authority), Code: take(raw.code),
		Geographic: raw.geographic != 0, Projected: raw.projected != 0, Local: raw.local != 0, Metres: float64(raw.metres),
	}, nil
}

// Transformer changes coordinates from one SRS to another, x (or longitude)
// first in both.
type Transformer struct {
	handle C.OGRCoordinateTransformationH
	ok     []C.int
}

// NewTransformer takes the texts of two SRSs.
func NewTransformer(from, to string) (*Transformer, error) {
	initialise()
	a, b := cstring(from), cstring(to)
	defer free(a)
	defer free(b)
	var s C.shim_status
	h := C.shim_transformer(a, b, &s)
	if h == nil {
		return nil, failure(&s, "transform coordinates", "", "")
	}
	return &Transformer{handle: h}, nil
}

// Points transforms in place. It calls failed for each point that has no image.
func (t *Transformer) Points(xs, ys []float64, failed func(i int)) error {
	switch {
	case t.handle == nil:
		return ErrClosed
	case len(xs) != len(ys):
		return fmt.Errorf("gdal: %d x but %d y", len(xs), len(ys))
	case len(xs) == 0:
		return nil
	}
	if cap(t.ok) < len(xs) {
		t.ok = make([]C.int, len(xs))
	}
	ok := t.ok[:len(xs)]
	var s C.shim_status
	C.shim_transform(t.handle, C.int(len(xs)), (*C.double)(&xs[0]), (*C.double)(&ys[0]), &ok[0], &s)
	for i, fine := range ok {
		if fine == 0 {
			failed(i)
		}
	}
	return nil
}

// Close lets go of the transformer. A second Close returns ErrClosed.
func (t *Transformer) Close() error {
	if t.handle == nil {
		return ErrClosed
	}
	C.OCTDestroyCoordinateTransformation(t.handle)
	t.handle = nil
	return nil
}

// SameSRS tells whether two definitions mean the same, axis order apart.
func SameSRS(a, b string) bool {
	initialise()
	x, y := cstring(a), cstring(b)
	defer free(x)
	defer free(y)
	var s C.shim_status
	return C.shim_same_srs(x, y, &s) != 0
}
