package evidence

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
)

// placeTile is the side, in cells, of the squares of ground whose places are
// looked at together. It changes the speed alone.
const placeTile = 128

// looker looks at places and at ground.
type looker struct {
	job    *suitability.Job
	edge   bool   // whether the range's edge counts as range
	window int    // cells; side of a window that ground is gone through by
	walked func() // called after each window; nil for nobody
}

// placeVisitor takes a place by its index, with the blocks of the profile's
// measures, which hold its disc.
type placeVisitor func(i int, measured []layers.Block)

// look is what a map says of each place, by the variant of its subject for the
// part of the ground that the place lies in. Each, where
// there is one, is called for every place that judges.
func (l looker) look(ctx context.Context, places []Place, p parts, variant func(part int) suitability.Subject, each placeVisitor) ([]Sample, error) {
	samples := make([]Sample, len(places))
	for _, group := range l.groups(places, p) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		list, err := l.job.Habitats(group.window, variant(group.part))
		if err != nil {
			return nil, err
		}
		usable := usableOf(list[0])
		for _, i := range group.places {
			samples[i] = l.sample(places[i], list[0], usable)
			if each != nil && samples[i].Unused == "" {
				each(i, list[0].Measured)
			}
		}
	}
	return samples, nil
}

// placeGroup is places near each other in one part of the ground, with a window that
// holds their discs.
type placeGroup struct {
	part, tileCol, tileRow int
	window                 layers.Window
	places                 []int
}

func (l looker) groups(places []Place, p parts) []*placeGroup {
	var list []*placeGroup
	index := map[[3]int]*placeGroup{}
	for i, place := range places {
		col, row := l.job.Grid.CellAt(place.At)
		key := [3]int{p.of(col, row), col / placeTile, row / placeTile}
		g := index[key]
		if g == nil {
			g = &placeGroup{part: key[0], tileCol: key[1], tileRow: key[2]}
			index[key] = g
			list = append(list, g)
		}
		g.window = g.window.Union(records.DiscWindow(l.job.Grid, place.At, place.Radius))
		g.places = append(g.places, i)
	}
	slices.SortStableFunc(list, func(a, b *placeGroup) int {
		return cmp.Or(a.tileRow-b.tileRow, a.tileCol-b.tileCol, a.part-b.part)
	})
	return list
}

// usableOf is habitat where it is assessed and not excluded; all else is
// unknown.
func usableOf(h suitability.Habitat) layers.Block {
	out := layers.NewValues(h.S.Window)
	for row := out.Window.Row; row < out.Window.Bottom(); row++ {
		to, excluded := out.ValueRow(row), h.Excluded.CodeRow(row)
		for i, s := range h.S.ValueRow(row) {
			if excluded[i] == 0 {
				to[i] = s
			}
		}
	}
	return out
}

// sample is the mean over the cells of a place's disc that are assessed and not
// excluded, as those of the background are: an animal seen at the brink of a lake
// was not in it. Of the disc 60 % must be assessed.
func (l looker) sample(p Place, h suitability.Habitat, usable layers.Block) Sample {
	g := l.job.Grid
	col, row := g.CellAt(p.At)
	if !g.Window().Contains(layers.Window{Col: col, Row: row, Cols: 1, Rows: 1}) {
		return Sample{Unused: OutsideArea}
	}
	s := Sample{InRange: suitability.Standing(h.InRange.Code(col, row))}
	_, known := records.DiscMean(h.S, g, p.At, p.Radius)
	s.Habitat, _ = records.DiscMean(usable, g, p.At, p.Radius)
	switch {
	case !l.counts(s.InRange):
		s.Unused = NotInRange
	case known < leastKnown:
		s.Unused = PlaceUnknown
	case math.IsNaN(s.Habitat):
		s.Unused = PlaceExcluded
	}
	return s
}

// counts tells whether a map is judged on cells of that standing.
func (l looker) counts(s suitability.Standing) bool {
	return inside(s) || l.edge && s == suitability.Edge
}

// inside is documented and uncertain range; where nobody has drawn the range,
// everywhere.
func inside(s suitability.Standing) bool {
	return s == suitability.Documented || s == suitability.Uncertain || s == suitability.RangeNotDocumented
}
