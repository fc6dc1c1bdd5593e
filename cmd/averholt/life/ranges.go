package life

import (
	"math"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/geo"
)

// Range is one drawn polygon of a documented range.
type Range struct {
	Species *Species
	Status  string
	Year    int
	Scale   int
	Author  string
	Note    string
	Outline orb.MultiPolygon
}

// ranges draws every species' plan.
func (l *Life) ranges() []Range {
	var all []Range
	for i := range allSpecies {
		s := &allSpecies[i]
		for _, part := range l.plan[s.ID] {
			if drawn := draw(l.ground.d, pencilFor(part), part.where); len(drawn) > 0 {
				all = append(all, Range{s, part.status, part.year, part.scale, part.author, part.note, drawn})
			}
		}
	}
	return all
}

// pencilFor is coarser the smaller the map's scale: 5 mm of the map are let go,
// and what is smaller than that is not drawn. Old and doubtful ranges are drawn
// generously, as people do.
func pencilFor(part rangePart) pencil {
	sigma := min(max(0.003*float64(part.scale), 110), 450)
	p := pencil{sigma: sigma, level: 0.4, smallest: 12 * sigma * sigma}
	if part.status == "uncertain" || part.status == "historic" {
		p.level = 0.3
	}
	return p
}

func writeRanges(path string, l *Life) error {
	var features []geo.Feature
	for _, r := range l.Ranges {
		features = append(features, geo.Feature{Geometry: simplest(r.Outline), Properties: []geo.Property{
			{Name: "species", Value: r.Species.Scientific}, {Name: "status", Value: r.Status}, {Name: "year", Value: r.Year},
			{Name: "scale", Value: r.Scale}, {Name: "author", Value: r.Author}, {Name: "note", Value: r.Note},
		}})
	}
	return geo.Write(path, l.ground.d.Grid.CRS, features)
}

// simplest is a polygon where there is but one.
func simplest(m orb.MultiPolygon) orb.Geometry {
	if len(m) == 1 {
		return m[0]
	}
	return m
}

// roundTo rounds to whole steps.
func roundTo(v, step float64) float64 { return math.Round(v/step) * step }
