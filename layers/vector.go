package layers

import (
	"context"
	"errors"
	"iter"

	"github.com/paulmach/orb"
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
type Vector struct{}

// VectorLayers lists the names of a source's layers.
func VectorLayers(path string) ([]string, error) { return nil, errors.New("not written yet") }

// OpenVector opens a layer of any source that OGR reads; "" is the only layer.
func OpenVector(path, layer string) (*Vector, error) { return nil, errors.New("not written yet") }

// Info is what the source says.
func (v *Vector) Info() VectorInfo { return VectorInfo{} }

// Features reads the features in the source's order; the first error ends it.
// One walk at a time.
func (v *Vector) Features(ctx context.Context, q FeatureQuery) iter.Seq2[Feature, error] {
	return func(yield func(Feature, error) bool) { yield(Feature{}, errors.New("not written yet")) }
}

// Close lets go of the source; a second Close is an error.
func (v *Vector) Close() error { return nil }
