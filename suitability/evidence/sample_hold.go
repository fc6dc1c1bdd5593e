package evidence

import (
	"fmt"

	"tussock/layers"
	"tussock/suitability"
)

// parts is what the ground is parted into: the number of a cell's part.
type parts struct {
	name string // of the parting, for keys
	of   func(col, row int) int
}

// onePart is all ground in one.
var onePart = parts{"all", func(int, int) int { return 0 }}

// subjectWithout is the subject as it would be if nobody had recorded anything
// in one part of the ground: whatever its profile makes of records is made again
// without those. A map that is tried on a record must not have learnt from it.
func subjectWithout(s suitability.Subject, g layers.Grid, p parts, part int) suitability.Subject {
	return withKernels(s, func(k layers.PointKernel) layers.Measure {
		k.Points = pointsWhere(k.Points, g, func(col, row int) bool { return p.of(col, row) != part })
		return k
	})
}

// subjectOwnOut is the subject as seen, in each cell, without the records of the
// cell's own part: background that is judged as the records are.
func subjectOwnOut(s suitability.Subject, p parts) suitability.Subject {
	return withKernels(s, func(k layers.PointKernel) layers.Measure { return ownOut{k, p} })
}

// subjectUnrecorded is the subject as it would be without any records.
func subjectUnrecorded(s suitability.Subject) suitability.Subject {
	return withKernels(s, func(k layers.PointKernel) layers.Measure {
		k.Points = nil
		return k
	})
}

// usesRecords tells whether a profile makes anything of records.
func usesRecords(p *suitability.Profile) bool {
	for _, m := range p.Measures() {
		if ofRecords(m) {
			return true
		}
	}
	return false
}

// ofRecords tells whether a measure is made of the places of records.
func ofRecords(m layers.Measure) bool {
	_, is := m.(interface{ PointsHash() string })
	return is
}

// withKernels replaces a profile's measures of its own species' records.
func withKernels(s suitability.Subject, replace func(layers.PointKernel) layers.Measure) suitability.Subject {
	other := func(m layers.Measure) layers.Measure {
		if k, ok := m.(layers.PointKernel); ok {
			return replace(k)
		}
		return m
	}
	p := *s.Profile
	p.Requisites = append([]suitability.Requisite(nil), p.Requisites...)
	for i := range p.Requisites {
		r := &p.Requisites[i]
		r.Criteria = append([]suitability.Criterion(nil), r.Criteria...)
		for k := range r.Criteria {
			r.Criteria[k].Measure = other(r.Criteria[k].Measure)
		}
	}
	p.Multipliers = append([]suitability.Multiplier(nil), p.Multipliers...)
	for i := range p.Multipliers {
		p.Multipliers[i].Measure = other(p.Multipliers[i].Measure)
	}
	p.Exclusions = append([]suitability.Exclusion(nil), p.Exclusions...)
	for i := range p.Exclusions {
		p.Exclusions[i].Measure = other(p.Exclusions[i].Measure)
	}
	s.Profile = &p
	return s
}

func pointsWhere(points []layers.WeightedPoint, g layers.Grid, keep func(col, row int) bool) []layers.WeightedPoint {
	var kept []layers.WeightedPoint
	for _, p := range points {
		if keep(g.CellAt(p.At)) {
			kept = append(kept, p)
		}
	}
	return kept
}

// ownOut is a kernel over records that leaves out, at each cell, those of the
// cell's own part of the ground.
type ownOut struct {
	layers.PointKernel
	parts parts
}

var _ layers.Measure = ownOut{}

// Key implements [layers.Measure].
func (o ownOut) Key() string { return o.PointKernel.Key() + " own out=" + o.parts.name }

// Eval implements [layers.Measure].
func (o ownOut) Eval(r layers.Reader, w layers.Window) (layers.Block, error) {
	out := layers.NewValues(w)
	for part, bound := range o.partsIn(w) {
		k := o.PointKernel
		k.Points = pointsWhere(k.Points, r.Grid(), func(col, row int) bool { return o.parts.of(col, row) != part })
		b, err := k.Eval(r, bound)
		if err != nil {
			return out, fmt.Errorf("without part %d of the ground: %w", part, err)
		}
		for row := bound.Row; row < bound.Bottom(); row++ {
			from, to := b.ValueRow(row), out.ValueRow(row)[bound.Col-w.Col:]
			for i, v := range from {
				if o.parts.of(bound.Col+i, row) == part {
					to[i] = v
				}
			}
		}
	}
	return out, nil
}

// partsIn are the parts that a window touches, each with the bound of its cells
// in it.
func (o ownOut) partsIn(w layers.Window) map[int]layers.Window {
	bounds := map[int]layers.Window{}
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			part := o.parts.of(col, row)
			b, known := bounds[part]
			cell := layers.Window{Col: col, Row: row, Cols: 1, Rows: 1}
			if !known || !b.Contains(cell) {
				bounds[part] = b.Union(cell)
			}
		}
	}
	return bounds
}
