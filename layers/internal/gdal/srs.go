package gdal

// #include "shim.h"
import "C"

import (
	"fmt"
	"regexp"
	"unsafe"
)

// SRS is a coordinate reference system, axes x, y, heights left out.
type SRS struct {
	WKT                          string // WKT2:2019 on one line
	Authority, Code, Name        string
	Projected, Geographic, Local bool
	Unit                         float64 // metres or radians per unit
	Ellipsoid                    Ellipsoid
}

func readSRS(out *packet) SRS {
	s := SRS{WKT: out.text()}
	if s.WKT == "" {
		return s
	}
	s.Authority, s.Code, s.Name = out.text(), out.text(), out.text()
	s.Projected, s.Geographic, s.Local = out.yes(), out.yes(), out.yes()
	s.Unit = out.float()
	s.Ellipsoid.A = out.float()
	if inverse := out.float(); inverse != 0 {
		s.Ellipsoid.F = 1 / inverse
	}
	return s
}

// definition is what GDAL may be asked to read: a code, a URN, WKT, a PROJ string
// or PROJJSON; never the name of a file or an address, which it would open.
var definition = regexp.MustCompile(`^(?s:[A-Za-z]+:[A-Za-z0-9_.]+(\+[A-Za-z0-9_.:]+)?|urn:ogc:def:crs:[^ /]+|[A-Za-z_0-9]+\s*\[.*\]|\+[a-z].*|\{.*\})$`)

// ParseSRS reads an authority's code, WKT, PROJJSON or a PROJ string; it opens no
// file and no connection.
func ParseSRS(text string) (SRS, error) { return parseSRS(text, 0) }

// Geographic is the longitudes and latitudes under an SRS.
func Geographic(wkt string) (SRS, error) { return parseSRS(wkt, 1) }

func parseSRS(text string, geographic C.int) (SRS, error) {
	ready()
	if !definition.MatchString(text) {
		return SRS{}, &Error{Op: fmt.Sprintf("understand %.80q", text), Text: "it is neither a code such as EPSG:32617 nor WKT"}
	}
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_srs(c[0], geographic) }, text)
	out, _, err := settle(&r, tolerant, Error{Op: fmt.Sprintf("understand %.80q", text)})
	if err != nil {
		return SRS{}, err
	}
	return readSRS(&out), nil
}

// SameSRS tells whether two definitions mean the same, axis order apart.
func SameSRS(a, b string) (bool, error) {
	ready()
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_srs_same(c[0], c[1]) }, a, b)
	out, _, err := settle(&r, tolerant, Error{Op: "compare coordinate reference systems"})
	if err != nil {
		return false, err
	}
	return out.yes(), nil
}

// Transformer carries points from one SRS to another. It serves one goroutine.
type Transformer struct{ handle unsafe.Pointer }

// NewTransformer prepares a transform between two definitions.
func NewTransformer(from, to string) (*Transformer, error) {
	ready()
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_transform_new(c[0], c[1]) }, from, to)
	handle := unsafe.Pointer(r.handle)
	if _, _, err := settle(&r, tolerant, Error{Op: "transform"}); err != nil {
		if handle != nil {
			C.tk_transform_free(handle)
		}
		return nil, err
	}
	return &Transformer{handle: handle}, nil
}

// Points transforms in place; failed, as long as both, gets 1 where a point has
// no place, and that point's numbers mean nothing.
func (t *Transformer) Points(xs, ys []float64, failed []uint8) error {
	if t.handle == nil {
		return ErrClosed
	}
	if len(xs) != len(ys) || len(xs) != len(failed) {
		return fmt.Errorf("gdal: %d x, %d y and room for %d results", len(xs), len(ys), len(failed))
	}
	if len(xs) == 0 {
		return nil
	}
	r := C.tk_transform(t.handle, C.int(len(xs)), (*C.double)(&xs[0]), (*C.double)(&ys[0]), (*C.uint8_t)(&failed[0]))
	_, _, err := settle(&r, tolerant, Error{Op: "transform points"})
	return err
}

// Close lets go of the transform; a second Close is ErrClosed.
func (t *Transformer) Close() error {
	if t.handle == nil {
		return ErrClosed
	}
	C.tk_transform_free(t.handle)
	t.handle = nil
	return nil
}
