package main

import (
	"crypto/sha256"
	"fmt"
	"strings"

	"tussock/suitability"
	"tussock/tiles"
)

// surfaceFor opens the raster that a species' tiles are made of, and sets how it
// is coloured. The tiles' name carries everything that they depend on, so that
// tiles under a name never change.
func surfaceFor(folder string, c *suitability.Catalogue, e suitability.CatalogueEntry, smooth bool, o *tiles.Options) (*tiles.Surface, error) {
	plane, values := suitability.ClassPlane, tiles.Codes
	bins := tiles.NewCountBins(len(c.Species))
	var err error
	switch {
	case e.ID == c.Count.ID:
		plane = suitability.CountPlane
		o.Palette, err = bins.Palette()
	case smooth:
		plane, values = suitability.SuitabilityPlane, tiles.Steps
		fallthrough
	default:
		o.Palette, err = tiles.NewPalette(values, c.Classes, suitability.ClassWords(len(c.Classes)+1))
	}
	if err != nil {
		return nil, err
	}
	if e.MapCell > c.Cell {
		o.MapCell = e.MapCell
	}
	s, err := tiles.OpenSurface(folder, c, e, plane)
	if err != nil {
		return nil, err
	}
	if plane == suitability.CountPlane {
		s.Bin(bins)
	}
	name := tileName(e, plane, o)
	s.Rename(name)
	o.Address = strings.ReplaceAll(o.Address, "{name}", name)
	return s, nil
}

// tileName is a species with the hash of its version and of the options that
// shape a tile.
func tileName(e suitability.CatalogueEntry, plane suitability.Plane, o *tiles.Options) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %s %d %d %d %g", e.Version, plane, o.Size, o.MinZoom, o.MaxZoom, o.MapCell))
	return fmt.Sprintf("%s-%s-%x", e.ID, plane, sum[:6])
}
