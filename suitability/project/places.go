package project

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/layers"
)

// Place is a place with a name.
type Place struct {
	Name   string
	Kind   string    // town, village, common, …; the gazetteer's own words
	People int       // 0 where nothing is said
	Rank   int       // 1 is named first where there is little room; 0 where nothing is said
	At     orb.Point // in the grid's CRS; of a line or an area, its middle
}

// Places reads the project's gazetteer, in the order of its source; none where
// the project names none. Errors name the source and the feature.
func (o *Opened) Places(ctx context.Context) ([]Place, error) {
	return readPlaces(ctx, o.Gazetteer, o.Grid.CRS)
}

// readPlaces reads a gazetteer's features into places on a grid.
func readPlaces(ctx context.Context, s Source, crs layers.CRS) (places []Place, err error) {
	if s.File == "" {
		return nil, nil
	}
	v, err := layers.OpenVector(s.File, s.Layer)
	if err != nil {
		return nil, fmt.Errorf("places: %w", err)
	}
	defer func() { err = errors.Join(err, v.Close()) }()
	toGrid, err := layers.NewTransform(v.Info().CRS, crs)
	if err != nil {
		return nil, fmt.Errorf("places: %s: %w", s.File, err)
	}
	defer func() { err = errors.Join(err, toGrid.Close()) }()
	for f, err := range v.Features(ctx, layers.FeatureQuery{Where: s.Where}) {
		if err != nil {
			return nil, fmt.Errorf("places: %w", err)
		}
		p, err := placeFrom(f, s, toGrid)
		if err != nil {
			return nil, fmt.Errorf("places: %s: feature %d: %w", s.File, f.FID, err)
		}
		places = append(places, p)
	}
	return places, nil
}

// placeFrom is the place that a feature tells of.
func placeFrom(f layers.Feature, s Source, toGrid *layers.Transform) (Place, error) {
	p := Place{Name: s.attribute(f, "name"), Kind: s.attribute(f, "kind")}
	if p.Name == "" {
		return p, fmt.Errorf("it has no name\nhint: write fields: {name: column}, or keep it out with where")
	}
	var err error
	if p.People, err = s.count(f, "people"); err != nil {
		return p, err
	}
	if p.Rank, err = s.count(f, "rank"); err != nil {
		return p, err
	}
	if f.Geometry == nil {
		return p, fmt.Errorf("%q has no geometry, so it is nowhere", p.Name)
	}
	middle, _ := planar.CentroidArea(f.Geometry)
	xs, ys := []float64{middle[0]}, []float64{middle[1]}
	if err := toGrid.Points(xs, ys); err != nil {
		return p, err
	}
	if p.At = (orb.Point{xs[0], ys[0]}); math.IsNaN(xs[0]) || math.IsNaN(ys[0]) {
		return p, fmt.Errorf("%q at %v has no place on the grid", p.Name, middle)
	}
	return p, nil
}

// attribute is a feature's attribute under our name for it, trimmed.
func (s Source) attribute(f layers.Feature, key string) string {
	column := key
	if own, ok := s.Fields[key]; ok {
		column = own
	}
	return strings.TrimSpace(f.Attributes[column])
}

// count is an attribute that is a whole number, 0 where there is none.
func (s Source) count(f layers.Feature, key string) (int, error) {
	text := s.attribute(f, key)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || n != math.Trunc(n) || n < 0 || n > math.MaxInt32 {
		return 0, fmt.Errorf("%s is %q, which is no whole number", key, short(text))
	}
	return int(n), nil
}
