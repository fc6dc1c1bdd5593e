// Package geo writes GeoJSON by RFC 7946: longitude and latitude on WGS 84, at
// most seven decimals (about 1 cm), outer rings counter-clockwise, and no crs.
package geo

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// Feature is a geometry in the grid's CRS with what is known of it.
type Feature struct {
	Geometry   orb.Geometry
	Properties []Property // in the order that they are written
}

// Property is a fact of a feature: a string, an int, a float64 or nil.
type Property struct {
	Name  string
	Value any
}

// Write writes features to a file, whose folder it makes where it is missing.
// Equal features give equal bytes. A geometry that has no place on WGS 84, is
// nothing, or is of a kind that RFC 7946 does not have, a property of another
// type and a number that is not finite are errors that name the feature.
func Write(path string, crs layers.CRS, features []Feature) error {
	body, err := encode(crs, features)
	if err != nil {
		return fmt.Errorf("geo: %s: %w", filepath.Base(path), err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return fmt.Errorf("geo: %w", err)
	}
	return layers.Publish(path, func(w io.Writer) error {
		_, err := w.Write(body)
		return err
	})
}

// encode writes one feature a line, so that files can be compared by line.
func encode(crs layers.CRS, features []Feature) ([]byte, error) {
	t, err := layers.NewTransform(crs, layers.WGS84())
	if err != nil {
		return nil, err
	}
	defer t.Close()
	var b bytes.Buffer
	b.WriteString("{\"type\":\"FeatureCollection\",\"features\":[")
	for i, f := range features {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n")
		if err := writeFeature(&b, t, f); err != nil {
			return nil, fmt.Errorf("feature %d: %w", i+1, err)
		}
	}
	b.WriteString("\n]}\n")
	return b.Bytes(), nil
}

func writeFeature(b *bytes.Buffer, t *layers.Transform, f Feature) error {
	if f.Geometry == nil {
		return fmt.Errorf("it has no geometry")
	}
	lonLat, err := t.Geometry(f.Geometry)
	if err != nil {
		return err
	}
	b.WriteString(`{"type":"Feature","properties":`)
	if err := writeProperties(b, f.Properties); err != nil {
		return err
	}
	b.WriteString(`,"geometry":`)
	if err := writeGeometry(b, lonLat); err != nil {
		return err
	}
	b.WriteByte('}')
	return nil
}
