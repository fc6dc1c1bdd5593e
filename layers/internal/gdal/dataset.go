package gdal

// #include <stdlib.h>
// #include "shim.h"
import "C"

import "unsafe"

// Kind is what a source is opened as.
type Kind int

// The kinds of source.
const (
	Raster Kind = iota
	Vector
)

// Dataset is an open source. It serves one goroutine.
type Dataset struct {
	handle unsafe.Pointer
	path   string
	layer  string         // the layer being read, for errors
	cursor unsafe.Pointer // an OGR layer
}

// Open opens a source for reading. The messages are warnings.
func Open(path string, kind Kind) (*Dataset, []Message, error) {
	ready()
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_open(c[0], C.int(kind)) }, path)
	handle := unsafe.Pointer(r.handle)
	_, notes, err := settle(&r, tolerant, Error{Op: "open", Path: path})
	if err != nil && handle != nil { // opened, but with failures on the way
		C.tk_close(handle)
	}
	if err != nil {
		return nil, notes, err
	}
	return &Dataset{handle: handle, path: path}, notes, nil
}

// Create makes a GeoTIFF of one band, with the driver's creation options as
// KEY=VALUE.
func Create(path string, cols, rows int, t Type, affine [6]float64, wkt string, options ...string) (*Dataset, error) {
	ready()
	var r C.tk_reply
	lent(func(c []*C.char) {
		list := (**C.char)(C.calloc(C.size_t(len(options)+1), C.size_t(unsafe.Sizeof(c[0]))))
		defer C.free(unsafe.Pointer(list))
		copy(unsafe.Slice(list, len(options)), c[2:])
		r = C.tk_create(c[0], C.int(cols), C.int(rows), C.int(t), (*C.double)(&affine[0]), c[1], list)
	}, append([]string{path, wkt}, options...)...)
	handle := unsafe.Pointer(r.handle)
	_, _, err := settle(&r, strict, Error{Op: "create", Path: path})
	if err != nil && handle != nil {
		C.tk_close(handle)
	}
	if err != nil {
		return nil, err
	}
	return &Dataset{handle: handle, path: path}, nil
}

// Close writes what is pending and lets go of the source; what could not be
// written is an error, and so is a second Close (ErrClosed).
func (d *Dataset) Close() error {
	if d.handle == nil {
		return ErrClosed
	}
	r := C.tk_close(d.handle)
	d.handle, d.cursor = nil, nil
	_, _, err := settle(&r, strict, Error{Op: "close", Path: d.path})
	return err
}

// Metadata are the items of a domain ("" is the default one) as KEY=VALUE.
func (d *Dataset) Metadata(domain string) ([]string, error) {
	if d.handle == nil {
		return nil, ErrClosed
	}
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_metadata(d.handle, c[0]) }, domain)
	out, _, err := settle(&r, strict, Error{Op: "read the metadata of", Path: d.path})
	if err != nil {
		return nil, err
	}
	items := make([]string, out.int())
	for i := range items {
		items[i] = out.text()
	}
	return items, nil
}
