package project

import (
	"errors"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// foundVector is one layer of a vector source.
type foundVector struct {
	file, name string
	several    bool // its source has other layers too
	info       layers.VectorInfo
	bound      orb.Bound // in the layer's own CRS
}

// startRanges is a layer of range polygons.
type startRanges struct {
	vector  foundVector
	species []string // that it names
}

func (s *starter) findVectors(file string) {
	names, err := layers.VectorLayers(s.path(file))
	if err != nil {
		s.leave(file, err)
		return
	}
	if len(names) == 0 {
		s.leave(file, errors.New("it has no vector layer"))
	}
	for _, name := range names {
		s.findVector(file, name, len(names) > 1)
	}
}

func (s *starter) findVector(file, layer string, several bool) {
	where := file
	if several {
		where += ", layer " + layer
	}
	v, err := layers.OpenVector(s.path(file), layer)
	if err != nil {
		s.leave(where, err)
		return
	}
	defer v.Close()
	found := foundVector{file: file, several: several, info: v.Info()}
	if found.info.CRS.IsZero() {
		s.leave(where, errors.New("it names no coordinate reference system"))
		return
	}
	if err := found.look(s, v); err != nil {
		s.leave(where, err)
		return
	}
	if found.name = file; several {
		found.name = layer
	}
	found.name = s.nameFor(found.name)
	s.vectors = append(s.vectors, found)
}

// look finds what the features cover.
func (f *foundVector) look(s *starter, v *layers.Vector) error {
	first := true
	for feature, err := range v.Features(s.ctx, layers.FeatureQuery{}) {
		if err != nil {
			return err
		}
		if feature.Geometry == nil {
			continue
		}
		if first {
			f.bound, first = feature.Geometry.Bound(), false
		}
		f.bound = f.bound.Union(feature.Geometry.Bound())
	}
	if first {
		return errors.New("it has no feature with a place")
	}
	return nil
}

// rangeSource is the layer as a source of ranges, if it looks like one: polygons
// with a column for the status and one for the species.
func (f *foundVector) rangeSource(path string) (suitability.RangeSource, bool) {
	source := suitability.RangeSource{Source: path, Layer: f.info.Layer, Fields: map[string]string{}}
	if !strings.Contains(f.info.GeomKind, "Polygon") && !strings.Contains(f.info.GeomKind, "Unknown") {
		return source, false
	}
	for _, field := range f.info.Fields {
		for ours, theirs := range rangeColumns {
			for _, name := range theirs {
				if strings.EqualFold(field.Name, name) && source.Fields[ours] == "" {
					source.Fields[ours] = field.Name
				}
			}
		}
	}
	return source, source.Fields["species"] != "" && source.Fields["status"] != ""
}

// rangeColumns are the usual names of the columns of range maps; the first are
// our own, presence, sci_name, binomial and yrcompiled those of the IUCN Red
// List's spatial data, and scientificName Darwin Core's.
var rangeColumns = map[string][]string{
	"species": {"species", "scientificName", "sci_name", "binomial", "taxon"},
	"status":  {"status"},
	"year":    {"year", "yrcompiled"},
	"author":  {"author", "compiler"},
	"scale":   {"scale"},
}

// tryRanges reads the layer as ranges, or says why it cannot be read so.
func (s *starter) tryRanges(f foundVector) (found, usable bool) {
	source, looks := f.rangeSource(s.path(f.file))
	if !looks {
		return false, false
	}
	polygons, err := suitability.ReadRanges(s.ctx, source, s.grid.CRS)
	if err != nil {
		s.leave(f.file, err)
		return true, false
	}
	r := startRanges{vector: f}
	for _, p := range polygons {
		if !contains(r.species, p.Species) {
			r.species = append(r.species, p.Species)
		}
	}
	s.ranges = append(s.ranges, r)
	return true, true
}
