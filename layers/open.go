package layers

import (
	"errors"
	"fmt"
)

// LayerSpec says where a layer comes from and how it is brought to the grid.
type LayerSpec struct {
	Name   string
	Kind   Kind
	Source string // anything that GDAL or OGR opens
	Unit   string // of the values; "" takes the file's own

	// For a raster.
	Band     int      // from 1; 0 means 1
	Resample Resample // 0 means nearest for classes, bilinear for a quantity
	Nodata   *float64 // the stored number that means unknown, in place of the file's
	// Classes name and colour numbers of the source; they go before what the
	// file says of the same number, and add to it.
	Classes []Class

	// For features.
	OGRLayer string // the source's layer; "" for its only one
	Where    string // an OGR attribute filter
	// ClassField makes a layer of classes out of features: its text is the
	// class's name or number. Where features overlap, the first by feature id
	// keeps the cell.
	ClassField   string
	Burn         Burn   // kind 0 means by centre
	TrafficField string // the attribute with a road's vehicles per day
}

// OpenLayer opens a source and lines it up on a grid. A raster is read when
// cells are asked for; features are read at once, checked, and kept in memory.
// Every error names the layer.
func OpenLayer(spec LayerSpec, grid Grid) (*Layer, error) {
	if err := spec.check(); err != nil {
		return nil, fmt.Errorf("layers: layer %q: %w", spec.Name, err)
	}
	open := openRaster
	if spec.Kind == Features || spec.ClassField != "" {
		open = openFeatures
	}
	layer, err := open(spec, grid)
	if err != nil {
		return nil, spec.explain(err)
	}
	return layer, nil
}

// explain puts the layer's name before an error that does not have it yet, and
// tells features that were taken for a raster.
func (s *LayerSpec) explain(err error) error {
	var feature *FeatureError
	var class *UnknownClassError
	if errors.As(err, &feature) || errors.As(err, &class) {
		return err
	}
	hint := ""
	if s.Kind != Features && s.ClassField == "" {
		if found, failed := VectorLayers(s.Source); failed == nil && len(found) > 0 {
			hint = "; hint: it holds features: make the layer's kind features, or name the attribute that holds the class"
		}
	}
	return fmt.Errorf("layers: layer %q (%s): %w%s", s.Name, s.Source, err, hint)
}

// check refuses settings that do not belong together.
func (s *LayerSpec) check() error {
	if int(s.Kind) >= len(kindNames) || s.Kind == 0 {
		return fmt.Errorf("it has no kind; use classes, quantity or features")
	}
	if s.Source == "" {
		return fmt.Errorf("it has no source")
	}
	classes := s.Kind == Classes
	switch {
	case classes && (s.Resample == Bilinear || s.Resample == Average):
		return fmt.Errorf("classes cannot be resampled by %v, which would mix their numbers; use nearest or majority", s.Resample)
	case s.Kind == Quantity && s.Resample == Majority:
		return fmt.Errorf("a quantity cannot be resampled by majority; use nearest, bilinear or average")
	case s.ClassField != "" && !classes:
		return fmt.Errorf("a class field belongs to a layer of kind classes, not %v", s.Kind)
	case len(s.Classes) > 0 && !classes:
		return fmt.Errorf("classes belong to a layer of kind classes, not %v", s.Kind)
	case s.Band < 0:
		return fmt.Errorf("band %d; bands are counted from 1", s.Band)
	case s.Burn.Width < 0 || s.Burn.Width != s.Burn.Width:
		return fmt.Errorf("width %g m; it cannot be negative", s.Burn.Width)
	}
	return nil
}

// resample is the way to resample with the default put in.
func (s *LayerSpec) resample() Resample {
	switch {
	case s.Resample != 0:
		return s.Resample
	case s.Kind == Classes:
		return Nearest
	default:
		return Bilinear
	}
}
