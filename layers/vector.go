package layers

import (
	"context"
	"fmt"
	"iter"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"

	"tussock/layers/internal/gdal"
)

// Field is an attribute of a vector layer.
type Field struct {
	Name string
	Type string // "Integer", "Integer64", "Real", "String", "Date", …
}

// VectorInfo is what a source says about one of its layers.
type VectorInfo struct {
	Layer    string
	CRS      CRS // the zero CRS where the source names none
	Fields   []Field
	Count    int64  // features; −1 where only reading would tell
	GeomKind string // "Point", "Multi Polygon", "Unknown (any)", …
	Warnings []string
}

// FeatureQuery picks features. The zero query picks all.
type FeatureQuery struct {
	Where string     // an OGR attribute filter: surface = 'sealed'
	Bound *orb.Bound // in the layer's CRS: only features whose own bound meets it
}

// Feature is one feature, flat (no heights) and without curves. An attribute
// that is null is not in the map.
type Feature struct {
	FID        int64
	Geometry   orb.Geometry // nil where it has none or an empty one
	Attributes map[string]string
}

// Vector is one layer of a vector source. It serves one goroutine.
type Vector struct {
	source *gdal.Dataset
	path   string
	layer  gdal.Layer
	info   VectorInfo
}

// VectorLayers lists the names of a source's layers.
func VectorLayers(path string) ([]string, error) {
	source, err := gdal.Open(path, gdal.Vector)
	if err != nil {
		return nil, err
	}
	defer source.Close()
	layers, err := source.Layers()
	var names []string
	for _, l := range layers {
		names = append(names, l.Name)
	}
	return names, err
}

// OpenVector opens a layer of any source that OGR reads; "" is the only layer.
func OpenVector(path, layer string) (*Vector, error) {
	source, err := gdal.Open(path, gdal.Vector)
	if err != nil {
		return nil, err
	}
	v := &Vector{source: source, path: path}
	if err := v.pick(layer); err != nil {
		source.Close()
		return nil, err
	}
	return v, nil
}

func (v *Vector) pick(name string) error {
	list, err := v.source.Layers()
	if err != nil {
		return err
	}
	var names []string
	found := -1
	for i, l := range list {
		names = append(names, l.Name)
		if l.Name == name || name == "" && len(list) == 1 {
			found = i
		}
	}
	switch {
	case found < 0 && name == "":
		return fmt.Errorf("layers: %s has %d layers (%s); name one", v.path, len(list), strings.Join(names, ", "))
	case found < 0:
		return fmt.Errorf("layers: %s has no layer %q; it has %s", v.path, name, strings.Join(names, ", "))
	}
	v.layer = list[found]
	v.info = VectorInfo{Layer: v.layer.Name, Count: v.layer.Count, GeomKind: v.layer.Geometry}
	for _, f := range v.layer.Fields {
		v.info.Fields = append(v.info.Fields, Field{Name: f})
	}
	if v.layer.WKT != "" {
		v.info.CRS, err = ParseCRS(v.layer.WKT)
	}
	return err
}

// Info is what the source says.
func (v *Vector) Info() VectorInfo { return v.info }

// Features reads the features in the source's order; the first error ends it.
// One walk at a time.
func (v *Vector) Features(ctx context.Context, q FeatureQuery) iter.Seq2[Feature, error] {
	var box *[4]float64
	if q.Bound != nil {
		box = &[4]float64{q.Bound.Min[0], q.Bound.Min[1], q.Bound.Max[0], q.Bound.Max[1]}
	}
	return func(yield func(Feature, error) bool) {
		for raw, err := range v.source.Features(v.layer.Index, q.Where, box) {
			var f Feature
			if err == nil {
				err = ctx.Err()
			}
			if err == nil {
				f, err = v.feature(raw)
			}
			if !yield(f, err) || err != nil {
				return
			}
		}
	}
}

// Close lets go of the source; a second Close is an error.
func (v *Vector) Close() error { return v.source.Close() }

func (v *Vector) feature(raw gdal.Feature) (Feature, error) {
	f := Feature{FID: raw.FID, Attributes: map[string]string{}}
	for i, value := range raw.Values {
		if value != "" {
			f.Attributes[v.layer.Fields[i]] = value
		}
	}
	if raw.WKB == nil {
		return f, nil
	}
	g, err := wkb.Unmarshal(raw.WKB)
	if err != nil {
		return f, fmt.Errorf("layers: %s, layer %s, feature %d: %w", v.path, v.layer.Name, f.FID, err)
	}
	f.Geometry = g
	return f, nil
}
