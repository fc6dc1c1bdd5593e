package suitability

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"tussock/layers"
)

// RangeSource is a vector source of range polygons and what a project says
// about it. Source must be given, and either a field or a value for the species.
type RangeSource struct {
	Source, Layer string
	Where         string // attribute filter

	// Fields names the source's own column for species, status, year, author,
	// scale and note; one that is not named is looked for under its own name.
	Fields map[string]string
	// Values stand in where there is no column or a feature leaves it blank, as
	// in {species: Vipera berus, status: extant}.
	Values map[string]string

	CRS    string // of a source that names none
	Repair bool   // mend invalid polygons instead of refusing them
}

// rangeFields are the columns that a source of ranges may have.
var rangeFields = []string{"species", "status", "year", "author", "scale", "note"}

// mostRangeErrors is how many bad features one error lists.
const mostRangeErrors = 20

// ReadRanges reads range polygons and brings them, vertex by vertex, to a
// grid's CRS: a side that is straight in the source is straight on the grid.
// Every feature must have a species, a status that ParseRangeStatus knows, and
// a valid polygon; all that do not are reported together, by feature.
func ReadRanges(ctx context.Context, s RangeSource, grid layers.CRS) (polygons []RangePolygon, err error) {
	v, err := layers.OpenVector(s.Source, s.Layer)
	if err != nil {
		return nil, fmt.Errorf("suitability: ranges: %w", err)
	}
	defer func() { err = errors.Join(err, v.Close()) }()
	r := rangeReader{source: s, layer: v.Info().Layer}
	if err := r.prepare(v.Info(), grid); err != nil {
		return nil, r.wrap(err)
	}
	defer r.transform.Close()
	if polygons, err = r.read(ctx, v); err != nil {
		return nil, err
	}
	if len(polygons) == 0 {
		return nil, r.wrap(errors.New("the layer has no features\nhint: look at its name and its where; a species without a documented range needs no entry"))
	}
	return polygons, nil
}

// rangeReader turns features into range polygons.
type rangeReader struct {
	source    RangeSource
	layer     string
	columns   map[string]string // by the names in rangeFields; "" where there is none
	values    map[string]string
	transform *layers.Transform
}

func (r *rangeReader) wrap(err error) error {
	where := r.source.Source
	if r.layer != "" {
		where += ", layer " + r.layer
	}
	return fmt.Errorf("suitability: ranges: %s: %w", where, err)
}

func (r *rangeReader) prepare(info layers.VectorInfo, grid layers.CRS) error {
	if err := r.findColumns(info.Fields); err != nil {
		return err
	}
	crs := info.CRS
	if crs.IsZero() {
		if r.source.CRS == "" {
			return errors.New("the layer does not say in which CRS it is\nhint: name it, as in crs: EPSG:4326")
		}
		var err error
		if crs, err = layers.ParseCRS(r.source.CRS); err != nil {
			return err
		}
	}
	var err error
	r.transform, err = layers.NewTransform(crs, grid)
	return err
}

func (r *rangeReader) read(ctx context.Context, v *layers.Vector) ([]RangePolygon, error) {
	var polygons []RangePolygon
	var wrong []error
	more := 0
	for f, err := range v.Features(ctx, layers.FeatureQuery{Where: r.source.Where}) {
		if err != nil {
			return nil, r.wrap(err)
		}
		p, err := r.polygon(f)
		switch {
		case err == nil:
			polygons = append(polygons, p)
		case len(wrong) < mostRangeErrors:
			wrong = append(wrong, r.wrap(fmt.Errorf("feature %d: %w", f.FID, err)))
		default:
			more++
		}
	}
	if more > 0 {
		wrong = append(wrong, r.wrap(fmt.Errorf("and %d more features", more)))
	}
	return polygons, errors.Join(wrong...)
}

func (r *rangeReader) text(f layers.Feature, key string) string {
	if text := strings.TrimSpace(f.Attributes[r.columns[key]]); text != "" && r.columns[key] != "" {
		return text
	}
	return r.values[key]
}

func (r *rangeReader) polygon(f layers.Feature) (RangePolygon, error) {
	p := RangePolygon{Species: r.text(f, "species"), Author: r.text(f, "author"), Note: r.text(f, "note")}
	if p.Species == "" {
		return p, errors.New("it names no species")
	}
	status := r.text(f, "status")
	if status == "" {
		return p, fmt.Errorf("%s has no status\nhint: fill it with %s", p.Species, strings.Join(rangeStatusWords(), ", "))
	}
	var err error
	if p.Status, err = ParseRangeStatus(status); err != nil {
		return p, fmt.Errorf("%q is no range status%s\nhint: the words are %s", status, closestStatus(status), strings.Join(rangeStatusWords(), ", "))
	}
	p.Word = plainWords(status)
	if p.Year, err = rangeYear(r.text(f, "year")); err != nil {
		return p, err
	}
	if p.Scale, err = rangeScale(r.text(f, "scale")); err != nil {
		return p, err
	}
	p.Geometry, err = r.geometry(f.Geometry)
	return p, err
}

func rangeStatusWords() []string { return slices.Sorted(maps.Keys(statusWords)) }

func closestStatus(word string) string {
	if best := layers.Closest(word, rangeStatusWords()); best != "" {
		return fmt.Sprintf("\nhint: did you mean %q?", best)
	}
	return ""
}

// rangeYear reads a year, or the year that a date starts with.
func rangeYear(text string) (int, error) {
	if text == "" {
		return 0, nil
	}
	start := text
	if len(text) > 4 && strings.ContainsRune("-/.T ", rune(text[4])) {
		start = text[:4]
	}
	year, err := strconv.Atoi(start)
	if err != nil || year < 1 || year > 9999 {
		return 0, fmt.Errorf("year %q is no year\nhint: write it as 1998", text)
	}
	return year, nil
}

// rangeScale reads the denominator of a map's scale: 50000, or 1:50000.
func rangeScale(text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	number := strings.ReplaceAll(strings.TrimPrefix(strings.ReplaceAll(text, " ", ""), "1:"), ",", "")
	scale, err := strconv.ParseFloat(number, 64)
	if err != nil || !(scale > 0) || scale > 1e12 {
		return 0, fmt.Errorf("scale %q is no scale of a map\nhint: write the number behind 1:, such as 50000", text)
	}
	return scale, nil
}
