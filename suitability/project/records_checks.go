package project

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/layers/records"
)

// officeKind is the kind of a gazetteer's place where records are written up.
const officeKind = "office"

// checks are what the section on cleaning tells the tests of records.
func (p *Project) checks(set *layers.Set, places []Place) records.Checks {
	s := &p.cleaning
	c := records.Checks{Area: set.Grid(), MarginM: s.Margin, Reference: p.Date, ThinM: number(s.Thin)}
	c.Current, c.Recent = s.years()
	if s.Office != nil {
		c.Centres = append(c.Centres, records.NamedPlace{Name: "the office", At: orb.Point{s.Office[0], s.Office[1]}, Office: true})
	}
	if s.Centroids != "none" {
		for _, place := range places {
			office := strings.EqualFold(place.Kind, officeKind)
			c.Centres = append(c.Centres, records.NamedPlace{Name: place.Name, At: place.At, Office: office})
		}
	}
	if s.Water.doc != nil {
		c.Water = s.Water.around(set)
	}
	if s.Elevation != "" {
		c.Elevation = lowestGround(set, s.Elevation)
	}
	return c
}

// around tells whether all cells within a radius are open water. What is not
// known is not water.
func (w *waterCells) around(set *layers.Set) func(orb.Point, float64) (bool, error) {
	return func(at orb.Point, radius float64) (bool, error) {
		wet, err := w.fill(set, at, 0) // the cell under the place is dry nearly always
		if !wet || err != nil {
			return false, err
		}
		return w.fill(set, at, radius)
	}
}

func (w *waterCells) fill(set *layers.Set, at orb.Point, radius float64) (bool, error) {
	l, err := set.Layer(w.Layer)
	if err != nil {
		return false, err
	}
	b, err := set.Read(w.Layer, records.DiscWindow(set.Grid(), at, radius))
	if err != nil {
		return false, err
	}
	shares, known := records.DiscShares(b, set.Grid(), at, radius, len(l.Classes))
	for code, share := range shares {
		if share > 0 && !slices.ContainsFunc(w.Classes, func(name word) bool {
			water, ok := l.ClassIndex(string(name))
			return ok && int(water) == code
		}) {
			return false, nil
		}
	}
	return known == 1, nil
}

// lowestGround is the lowest ground within a radius.
func lowestGround(set *layers.Set, layer string) func(orb.Point, float64) (float64, bool, error) {
	return func(at orb.Point, radius float64) (float64, bool, error) {
		b, err := set.Read(layer, records.DiscWindow(set.Grid(), at, radius))
		if err != nil {
			return 0, false, err
		}
		lowest := records.DiscLowest(b, set.Grid(), at, radius)
		return lowest, !math.IsNaN(lowest), nil
	}
}
