package records

import (
	"context"
	"errors"
	"fmt"
	"iter"

	"tussock/layers"
)

// openVector opens a layer of a vector source: each feature is a row, and its
// geometry is its place.
func openVector(ctx context.Context, s Source) (*table, error) {
	v, err := layers.OpenVector(s.File, s.Layer)
	if err != nil {
		return nil, fmt.Errorf("records: %w", err)
	}
	info := v.Info()
	t := &table{names: fieldNames(info), crs: info.CRS, geometries: true, notes: info.Warnings, close: v.Close}
	if info.CRS.IsZero() {
		if t.crs, err = statedCRS(s); err != nil {
			return nil, errors.Join(err, v.Close())
		}
	}
	t.rows = features(ctx, v, info, s)
	return t, nil
}

func fieldNames(info layers.VectorInfo) []string {
	names := make([]string, len(info.Fields))
	for i, f := range info.Fields {
		names[i] = f.Name
	}
	return uniqueNames(names)
}

// statedCRS is the project's word for a layer that has no CRS itself.
func statedCRS(s Source) (layers.CRS, error) {
	if s.CRS == "" {
		return layers.CRS{}, fmt.Errorf("records: %s does not say in which CRS its geometries are\nhint: name it, as in crs: EPSG:27700", s.File)
	}
	crs, err := layers.ParseCRS(s.CRS)
	if err != nil {
		return crs, fmt.Errorf("records: %s: %w", s.File, err)
	}
	return crs, nil
}

func features(ctx context.Context, v *layers.Vector, info layers.VectorInfo, s Source) iter.Seq2[row, error] {
	return func(yield func(row, error) bool) {
		for f, err := range v.Features(ctx, layers.FeatureQuery{Where: s.Where}) {
			if err != nil {
				yield(row{}, fmt.Errorf("records: %w", err))
				return
			}
			r := row{geometry: f.Geometry, source: Origin{File: s.File, Layer: info.Layer, Feature: f.FID}}
			for _, field := range info.Fields {
				r.cells = append(r.cells, f.Attributes[field.Name])
			}
			if !yield(r, nil) {
				return
			}
		}
	}
}
