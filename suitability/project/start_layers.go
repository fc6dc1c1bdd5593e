package project

import (
	"cmp"
	"strings"

	"tussock/layers"
	"tussock/layers/records"
)

// startLayer is a layer that was opened on the grid, as it will be written.
type startLayer struct {
	name   string
	spec   layers.LayerSpec
	source string // relative
	raster *foundRaster
	vector *foundVector
}

// startRecords is a table of records that could be read.
type startRecords struct {
	source  string
	crs     string // named for it, "" where the table says
	species string // of the first record
	kept    int
	aside   int
}

// tryLayers opens everything on the grid; what cannot be opened is left out.
func (s *starter) tryLayers() {
	for i := range s.rasters {
		f := &s.rasters[i]
		spec := layers.LayerSpec{Name: f.name, Source: s.path(f.file), Band: 1, Kind: layers.Quantity, Resample: layers.Bilinear, Unit: f.info.Unit}
		if f.isClasses() {
			spec.Kind, spec.Resample = layers.Classes, layers.Majority
			for _, code := range f.codes {
				if f.className(code) == "" {
					spec.Classes = append(spec.Classes, layers.Class{Value: code, Name: inventedName(code)})
				}
			}
		}
		s.try(startLayer{name: f.name, spec: spec, source: f.file, raster: f})
	}
	for i := range s.vectors {
		f := &s.vectors[i]
		if found, usable := s.tryRanges(*f); found && usable {
			continue
		}
		spec := layers.LayerSpec{Name: f.name, Source: s.path(f.file), Kind: layers.Features, Burn: layers.Burn{Kind: layers.BurnTouch}}
		if f.several {
			spec.OGRLayer = f.info.Layer
		}
		s.try(startLayer{name: f.name, spec: spec, source: f.file, vector: f})
	}
}

func (s *starter) try(l startLayer) {
	opened, err := layers.OpenLayer(l.spec, s.grid)
	if err != nil {
		s.leave(l.source, err)
		return
	}
	if err := opened.Close(); err != nil {
		s.leave(l.source, err)
		return
	}
	s.layers = append(s.layers, l)
}

// tryRecords reads the tables: as they are, then with the grid's CRS for x and y.
func (s *starter) tryRecords() {
	crs := cmp.Or(s.grid.CRS.Code(), s.grid.CRS.WKT())
	for _, file := range s.tables {
		plain, err := s.readRecords(file, "")
		if err != nil || plain.kept == 0 {
			if other, otherErr := s.readRecords(file, crs); otherErr == nil && other.kept > 0 {
				plain, err = other, nil
			}
		}
		switch {
		case err != nil:
			s.leave(file, err)
		case plain.kept > 0:
			s.records = append(s.records, plain)
		case plain.aside > 0:
			s.left = append(s.left, leftOut{file, "none of its rows can be used as a record"})
		}
	}
}

func (s *starter) readRecords(file, crs string) (startRecords, error) {
	set, err := records.Read(s.ctx, records.Source{File: s.path(file), CRS: crs}, s.grid.CRS)
	if err != nil {
		return startRecords{}, err
	}
	r := startRecords{source: file, crs: crs, kept: len(set.Records), aside: len(set.Rejects)}
	if r.kept > 0 {
		r.species = strings.TrimSpace(set.Records[0].Species)
	}
	return r, nil
}

// exampleSpecies is the name of the species to start with, from the ranges or
// the records.
func (s *starter) exampleSpecies() string {
	for _, r := range s.ranges {
		if len(r.species) > 0 {
			return r.species[0]
		}
	}
	for _, r := range s.records {
		if r.species != "" {
			return r.species
		}
	}
	return ""
}
