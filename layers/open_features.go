package layers

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// FeatureError is a feature that cannot be used.
type FeatureError struct {
	Layer, Source string
	FID           int64
	At            orb.Point // in the source's CRS
	Reason        string
	Hint          string
}

func (e *FeatureError) Error() string {
	text := fmt.Sprintf("layers: layer %q (%s): feature %d at x %.10g, y %.10g: %s", e.Layer, e.Source, e.FID, e.At[0], e.At[1], e.Reason)
	if e.Hint != "" {
		text += "; hint: " + e.Hint
	}
	return text
}

// featureLayer is a vector layer in memory, in units of the grid's cells.
type featureLayer struct {
	spec    LayerSpec
	grid    Grid
	shapes  *shapes
	columns map[string]*attributeColumn
	codes   []uint8 // by row of the table, for a layer of classes
}

// attributeColumn is one attribute of all features: words told apart, a missing value
// being the empty one.
type attributeColumn struct {
	rows  []uint32
	words []string
	known map[string]uint32
}

func (c *attributeColumn) add(word string) {
	number, ok := c.known[word]
	if !ok {
		number = uint32(len(c.words))
		word = strings.Clone(word)
		c.known[word] = number
		c.words = append(c.words, word)
	}
	c.rows = append(c.rows, number)
}

// openFeatures reads a vector layer.
func openFeatures(spec LayerSpec, grid Grid) (*Layer, error) {
	source, err := OpenVector(spec.Source, spec.OGRLayer)
	if err != nil {
		return nil, err
	}
	f := &featureLayer{spec: spec, grid: grid, columns: map[string]*attributeColumn{}}
	if err := errors.Join(f.load(source), source.Close()); err != nil {
		return nil, err
	}
	layer := &Layer{Name: spec.Name, Kind: spec.Kind, Unit: spec.Unit, Burn: spec.Burn, TrafficField: spec.TrafficField, Fields: f.fields(), source: f}
	if layer.Burn.Kind == 0 {
		layer.Burn.Kind = BurnCentre
	}
	for _, field := range []string{spec.TrafficField, spec.Burn.Field} {
		if err := f.knows(field); err != nil {
			return nil, err
		}
	}
	if spec.Kind == Classes {
		layer.Classes, err = f.classify()
	}
	return layer, err
}

// load reads all features, checks them and moves them to the grid.
func (f *featureLayer) load(source *Vector) error {
	info := source.Info()
	if info.CRS.IsZero() {
		return errors.New("it names no coordinate reference system; hint: give it one with ogr2ogr -a_srs")
	}
	transform, err := NewTransform(info.CRS, f.grid.CRS)
	if err != nil {
		return err
	}
	defer transform.Close()
	for _, field := range info.Fields {
		f.columns[field.Name] = &attributeColumn{known: map[string]uint32{}}
	}
	place := placer{transform: transform, same: info.CRS.Equal(f.grid.CRS), cell: f.grid.Cell}
	var list []shape
	for feature, err := range source.Features(context.Background(), FeatureQuery{Where: f.spec.Where}) {
		if err != nil {
			return err
		}
		if feature.Geometry == nil {
			continue
		}
		s, err := f.shape(feature, &place)
		if err != nil {
			return err
		}
		s.row = len(list)
		list = append(list, s)
		for name, c := range f.columns {
			c.add(feature.Attributes[name])
		}
	}
	f.shapes = newShapes(list)
	return nil
}

// shape checks one feature and moves it.
func (f *featureLayer) shape(feature Feature, place *placer) (shape, error) {
	wrong := func(at orb.Point, reason, hint string) error {
		return &FeatureError{Layer: f.spec.Name, Source: f.spec.Source, FID: feature.FID, At: at, Reason: reason, Hint: hint}
	}
	if feature.Geometry.Dimensions() > 0 {
		if reason, at, ok := ValidateGeometry(feature.Geometry); !ok {
			return shape{}, wrong(at, "its geometry is not valid: "+reason, "repair it, for example with ogr2ogr -makevalid")
		}
	}
	moved, at, err := place.move(feature.Geometry)
	if err != nil {
		return shape{}, wrong(at, err.Error(), "")
	}
	s, err := newShape(feature.FID, moved, f.grid)
	if err != nil {
		return shape{}, wrong(feature.Geometry.Bound().Min, err.Error(), "")
	}
	return s, nil
}

// fields are the attributes with their values.
func (f *featureLayer) fields() map[string][]string {
	fields := map[string][]string{}
	for name, c := range f.columns {
		fields[name] = slices.Sorted(slices.Values(c.words))
	}
	return fields
}

// knows refuses an attribute that the layer lacks.
func (f *featureLayer) knows(field string) error {
	if _, ok := f.columns[field]; ok || field == "" {
		return nil
	}
	var names []string
	for name := range f.columns {
		names = append(names, name)
	}
	slices.Sort(names)
	hint := "it has " + strings.Join(names, ", ")
	if near := Closest(field, names); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Errorf("it has no attribute %q; hint: %s", field, hint)
}

// classify gives each feature the code of its class. Without classes in the
// project, every text that occurs is a class, in the order of the texts,
// numbered from 1. A feature without a class leaves cells unknown.
func (f *featureLayer) classify() ([]Class, error) {
	if err := f.knows(f.spec.ClassField); err != nil {
		return nil, err
	}
	c := f.columns[f.spec.ClassField]
	project := f.spec.Classes
	if len(project) == 0 {
		for _, word := range slices.Sorted(slices.Values(c.words)) {
			if word != "" {
				project = append(project, Class{Value: len(project) + 1, Name: word})
			}
		}
	}
	classes, numbers, err := mergedClasses(nil, project)
	if err != nil {
		return nil, err
	}
	byWord := make([]int, len(c.words))
	for i, word := range c.words {
		byWord[i] = codeOfWord(word, classes, numbers)
	}
	f.codes = make([]uint8, len(c.rows))
	for _, s := range f.shapes.list {
		code := byWord[c.rows[s.row]]
		if code < 0 {
			at := orb.Point{f.grid.West + s.centre[0]*f.grid.Cell, f.grid.North - s.centre[1]*f.grid.Cell}
			return nil, &UnknownClassError{Layer: f.spec.Name, Source: f.spec.Source, Value: c.words[c.rows[s.row]], FID: s.fid, At: at, feature: true}
		}
		f.codes[s.row] = uint8(code)
	}
	return classes, nil
}

// codeOfWord is the class of a text, by name and then by number; NoClass for
// none, −1 for a text that no class has.
func codeOfWord(word string, classes []Class, numbers map[int]uint8) int {
	if word == "" {
		return int(NoClass)
	}
	for code, c := range classes {
		if c.Name == word {
			return code
		}
	}
	if value, err := strconv.Atoi(word); err == nil {
		if code, ok := numbers[value]; ok {
			return int(code)
		}
	}
	return -1
}

func (f *featureLayer) read(w Window, b Block) error {
	if b.IsCodes() {
		newBurner(w, f.grid.Cell).classes(f.shapes, func(i int32) uint8 { return f.codes[f.shapes.list[i].row] }, b)
		return nil
	}
	return f.burn(f.spec.Burn, w, b)
}

func (f *featureLayer) burn(how Burn, w Window, b Block) error {
	pick, err := f.picker(how)
	if err != nil {
		return fmt.Errorf("layers: layer %q (%s): %w", f.spec.Name, f.spec.Source, err)
	}
	newBurner(w, f.grid.Cell).burn(f.shapes, how, pick, b)
	return nil
}

// near implements [featureSource].
func (f *featureLayer) near(w Window, pad float64, fields []string, see func(*shape, map[string]string)) {
	attributes := make(map[string]string, len(fields))
	for _, i := range f.shapes.meeting(w, pad) {
		s := &f.shapes.list[i]
		clear(attributes)
		for _, field := range fields {
			if c := f.columns[field]; c != nil && c.words[c.rows[s.row]] != "" {
				attributes[field] = c.words[c.rows[s.row]]
			}
		}
		see(s, attributes)
	}
}

// picker tells which features a burn takes.
func (f *featureLayer) picker(how Burn) (func(i int32) bool, error) {
	if err := f.knows(how.Field); err != nil {
		return nil, err
	}
	if how.Field == "" || len(how.Where) == 0 {
		return func(int32) bool { return true }, nil
	}
	c := f.columns[how.Field]
	wanted := make([]bool, len(c.words))
	for _, word := range how.Where {
		if number, ok := c.known[word]; ok {
			wanted[number] = true
		}
	}
	return func(i int32) bool { return wanted[c.rows[f.shapes.list[i].row]] }, nil
}

// Close lets the features go.
func (f *featureLayer) Close() error { return nil }
