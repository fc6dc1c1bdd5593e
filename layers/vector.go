package layers

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
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
	source  *gdal.Dataset
	path    string
	info    VectorInfo
	walking bool
}

// VectorLayers lists the names of a source's layers.
func VectorLayers(path string) ([]string, error) {
	source, _, err := gdal.Open(path, gdal.Vector)
	if err != nil {
		return nil, err
	}
	names, err := source.Layers()
	return names, errors.Join(err, source.Close())
}

// OpenVector opens a layer of any source that OGR reads; "" is the only layer.
func OpenVector(path, layer string) (*Vector, error) {
	source, notes, err := gdal.Open(path, gdal.Vector)
	if err != nil {
		return nil, err
	}
	v := &Vector{source: source, path: path, info: VectorInfo{Warnings: warningsOf(nil, notes)}}
	if err := v.choose(layer); err != nil {
		return nil, errors.Join(err, source.Close())
	}
	return v, nil
}

func (v *Vector) choose(name string) error {
	names, err := v.source.Layers()
	if err != nil {
		return err
	}
	if name, err = pickLayer(v.path, name, names); err != nil {
		return err
	}
	l, notes, err := v.source.Layer(name)
	if err != nil {
		return err
	}
	v.info.Layer, v.info.Count, v.info.GeomKind = l.Name, l.Count, l.Geometry
	v.info.Warnings = warningsOf(v.info.Warnings, notes)
	if l.SRS.WKT != "" {
		v.info.CRS = crsOf(l.SRS)
	}
	for _, f := range l.Fields {
		v.info.Fields = append(v.info.Fields, Field(f))
	}
	return nil
}

func pickLayer(path, name string, names []string) (string, error) {
	switch {
	case len(names) == 0:
		return "", fmt.Errorf("layers: %s holds no vector layer", path)
	case name == "" && len(names) == 1:
		return names[0], nil
	case name == "":
		return "", fmt.Errorf("layers: %s holds %d layers\nhint: name one of %s", path, len(names), strings.Join(names, ", "))
	case !slices.Contains(names, name):
		return "", fmt.Errorf("layers: %s holds no layer %q\nhint: it holds %s", path, name, strings.Join(names, ", "))
	}
	return name, nil
}

// Info is what the source says; warnings grow while features are read.
func (v *Vector) Info() VectorInfo { return v.info }

// Features reads the features in the source's order; the first error ends it.
// One walk at a time.
func (v *Vector) Features(ctx context.Context, q FeatureQuery) iter.Seq2[Feature, error] {
	return func(yield func(Feature, error) bool) {
		if v.walking {
			yield(Feature{}, fmt.Errorf("layers: %s, layer %s is being read already", v.path, v.info.Layer))
			return
		}
		v.walking = true
		defer func() { v.walking = false }()
		var box *[4]float64
		if b := q.Bound; b != nil {
			box = &[4]float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]}
		}
		if err := v.source.Query(q.Where, box); err != nil {
			yield(Feature{}, err)
			return
		}
		v.walk(ctx, yield)
	}
}

func (v *Vector) walk(ctx context.Context, yield func(Feature, error) bool) {
	for {
		if err := ctx.Err(); err != nil {
			yield(Feature{}, err)
			return
		}
		raw, more, notes, err := v.source.Next()
		v.info.Warnings = warningsOf(v.info.Warnings, notes)
		if err == nil && !more {
			return
		}
		var f Feature
		if err == nil {
			f, err = v.feature(raw)
		}
		if !yield(f, err) || err != nil {
			return
		}
	}
}

func (v *Vector) feature(raw gdal.Feature) (Feature, error) {
	f := Feature{FID: raw.FID, Attributes: make(map[string]string, len(raw.Values))}
	for i, value := range raw.Values {
		if value != nil {
			f.Attributes[v.info.Fields[i].Name] = *value
		}
	}
	if len(raw.WKB) == 0 {
		return f, nil
	}
	g, err := wkb.Unmarshal(raw.WKB)
	if err != nil {
		return f, fmt.Errorf("layers: %s, layer %s, feature %d: its geometry cannot be used: %w", v.path, v.info.Layer, f.FID, err)
	}
	f.Geometry = g
	return f, nil
}

// Close lets go of the source; a second Close is an error.
func (v *Vector) Close() error { return v.source.Close() }
