package gdal

// #include "shim.h"
import "C"

import (
	"fmt"
	"iter"
)

// Layer is what one vector layer says of itself.
type Layer struct {
	Index     int
	Name      string
	WKT       string // "" where there is none
	Geometry  string // the declared type, such as "Polygon"
	Count     int64
	Fields    []string
	Extent    [4]float64 // min x, min y, max x, max y
	HasExtent bool
}

// Layers lists the vector layers.
func (d *Dataset) Layers() ([]Layer, error) {
	if d.handle == nil {
		return nil, ErrClosed
	}
	var s C.shim_status
	var list []Layer
	for i := range int(C.shim_layers(d.handle, &s)) {
		var raw C.shim_layer
		ok := C.shim_layer_info(d.handle, C.int(i), &raw, &s)
		l := Layer{Index: i, Name: take(raw.name), WKT: take(raw.wkt), Geometry: C.GoString(raw.geometry), Count: int64(raw.count),
			Fields: takeList(raw.field_names), HasExtent: raw.has_extent != 0}
		for k, v := range raw.extent {
			l.Extent[k] = float64(v)
		}
		if ok == 0 {
			return nil, failure(&s, "read", d.path, fmt.Sprintf("layer %d", i))
		}
		list = append(list, l)
	}
	return list, nil
}

// Feature is one row of a vector layer.
type Feature struct {
	FID    int64
	WKB    []byte   // 2D, linear, little-endian; nil without a geometry
	Values []string // by field; "" where null
}

// Features reads a layer's features: those that match an SQL attribute filter
// and touch a box in the layer's CRS; "" and nil take all. Only one sequence of
// a layer may be read at a time.
func (d *Dataset) Features(layer int, where string, box *[4]float64) iter.Seq2[Feature, error] {
	return func(yield func(Feature, error) bool) {
		if err := d.filter(layer, where, box); err != nil {
			yield(Feature{}, err)
			return
		}
		for n := 1; ; n++ {
			f, more, err := d.next(layer)
			if err != nil {
				yield(Feature{}, fmt.Errorf("feature number %d: %w", n, err))
				return
			}
			if !more || !yield(f, nil) {
				return
			}
		}
	}
}

func (d *Dataset) filter(layer int, where string, box *[4]float64) error {
	if d.handle == nil {
		return ErrClosed
	}
	text := cstring(where)
	defer free(text)
	var bounds *C.double
	if box != nil {
		bounds = (*C.double)(&box[0])
	}
	var s C.shim_status
	if C.shim_cursor(d.handle, C.int(layer), text, bounds, &s) == 0 {
		return failure(&s, "filter", d.path, fmt.Sprintf("layer %d, where %q", layer, where))
	}
	return nil
}

func (d *Dataset) next(layer int) (Feature, bool, error) {
	if d.handle == nil {
		return Feature{}, false, ErrClosed
	}
	var s C.shim_status
	var fid C.longlong
	var wkb *C.uchar
	var size C.size_t
	var fields **C.char
	more := C.shim_next(d.handle, C.int(layer), &fid, &wkb, &size, &fields, &s)
	f := Feature{FID: int64(fid), Values: takeList(fields)}
	if wkb != nil {
		f.WKB = takeBytes(wkb, size)
	}
	if s.failed != 0 {
		return f, false, failure(&s, "read", d.path, fmt.Sprintf("layer %d, feature %d", layer, f.FID))
	}
	return f, more != 0, nil
}
