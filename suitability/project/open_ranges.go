package project

import (
	"strings"

	"tussock/suitability"
)

// readRanges reads all range polygons and finds the profile that each is of: by
// scientific name, id or common name, whatever the case.
func (o *opening) readRanges() map[*profile][]suitability.RangePolygon {
	if o.ranged != nil {
		return o.ranged
	}
	found := map[*profile][]suitability.RangePolygon{}
	for _, s := range o.file.Ranges {
		if s.doc == nil || s.doc.spoken(s.path) {
			continue
		}
		polygons, err := suitability.ReadRanges(o.ctx, o.ranges(s), o.grid.CRS)
		for _, e := range apart(err) {
			wrong(s.doc, join(s.path, "source"), e)
		}
		strangers := map[string]bool{}
		for _, polygon := range polygons {
			p := o.profileOf(polygon.Species)
			if p != nil {
				found[p] = append(found[p], polygon)
			} else if !strangers[polygon.Species] {
				strangers[polygon.Species] = true
				s.doc.warn(join(s.path, "source"), closest(polygon.Species, o.speciesNames()), "the ranges name %q, which is no species of this project", short(polygon.Species))
			}
		}
	}
	o.ranged = found
	return found
}

// apart takes joined errors apart.
func apart(err error) []error {
	if err == nil {
		return nil
	}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		return joined.Unwrap()
	}
	return []error{err}
}

func (r *reading) profileOf(species string) *profile {
	for _, p := range r.profiles {
		for _, name := range []string{p.Scientific, p.ID, p.Name} {
			if name != "" && strings.EqualFold(strings.TrimSpace(species), name) {
				return p
			}
		}
	}
	return nil
}

func (r *reading) speciesNames() []string {
	var names []string
	for _, p := range r.profiles {
		names = append(names, p.recordName())
	}
	return names
}
