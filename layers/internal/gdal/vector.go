package gdal

// #include "shim.h"
import "C"

import "unsafe"

// Layer is what a vector layer says of itself.
type Layer struct {
	Name     string
	Count    int64  // features; −1 where only reading would tell
	Geometry string // "Point", "Multi Polygon", …
	SRS      SRS    // its WKT is "" where there is none
	Fields   []Field
}

// Field is an attribute of a layer.
type Field struct{ Name, Type string }

// Feature is one feature. WKB is flat, little-endian and without curves; it is
// empty where there is no geometry. Null values are nil.
type Feature struct {
	FID    int64
	WKB    []byte
	Values []*string
}

// Layers lists the names of the layers.
func (d *Dataset) Layers() ([]string, error) {
	if d.handle == nil {
		return nil, ErrClosed
	}
	r := C.tk_layers(d.handle)
	out, _, err := settle(&r, strict, Error{Op: "list the layers of", Path: d.path})
	if err != nil {
		return nil, err
	}
	names := make([]string, out.int())
	for i := range names {
		names[i] = out.text()
	}
	return names, nil
}

// Layer chooses the layer that Query and Next read. The messages are warnings.
func (d *Dataset) Layer(name string) (Layer, []Message, error) {
	if d.handle == nil {
		return Layer{}, nil, ErrClosed
	}
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_layer(d.handle, c[0]) }, name)
	cursor := unsafe.Pointer(r.handle)
	out, notes, err := settle(&r, tolerant, Error{Op: "find", Path: d.path, Layer: name, Feature: -1})
	if err != nil {
		return Layer{}, notes, err
	}
	d.cursor, d.layer = cursor, name
	l := Layer{Name: out.text(), Count: out.number(), Geometry: out.text(), SRS: readSRS(&out)}
	for range out.int() {
		l.Fields = append(l.Fields, Field{Name: out.text(), Type: out.text()})
	}
	return l, notes, nil
}

// Query starts over with the features that an OGR attribute filter ("" for all)
// and a box (min x, min y, max x, max y; nil for all) let through.
func (d *Dataset) Query(where string, box *[4]float64) error {
	if d.cursor == nil {
		return ErrClosed
	}
	var bound *C.double
	if box != nil {
		bound = (*C.double)(&box[0])
	}
	var r C.tk_reply
	lent(func(c []*C.char) { r = C.tk_query(d.cursor, c[0], bound) }, where)
	_, _, err := settle(&r, strict, Error{Op: "filter", Path: d.path, Layer: d.layer, Feature: -1})
	return err
}

// Next reads the next feature; more is false behind the last. The messages are
// warnings: what OGR says of an odd date or a polygon of very many parts loses
// nothing that is read here.
func (d *Dataset) Next() (f Feature, more bool, notes []Message, err error) {
	if d.cursor == nil {
		return f, false, nil, ErrClosed
	}
	r := C.tk_next(d.cursor)
	out, notes, err := settle(&r, tolerant, Error{Op: "read", Path: d.path, Layer: d.layer, Feature: -1})
	if more = out.yes(); more {
		f.FID = out.number()
	}
	if failed, ok := err.(*Error); ok {
		if more {
			failed.Feature = f.FID
		}
		return f, false, notes, err
	}
	if !more {
		return f, false, notes, nil
	}
	f.WKB = out.bytes()
	for len(out) > 0 {
		var value *string
		if out.yes() {
			text := out.text()
			value = &text
		}
		f.Values = append(f.Values, value)
	}
	return f, true, notes, nil
}
