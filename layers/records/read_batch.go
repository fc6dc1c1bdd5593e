package records

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// batch is rows on their way into a set.
type batch struct {
	set    Set
	names  []string
	drafts []draft
	ways   transforms // to the grid's CRS
}

type draft struct {
	record Record
	row    row
}

func (b *batch) add(p *parser, r row) {
	d := draft{row: r}
	if r.reason == "" {
		var bad *problem
		if d.record, bad = p.record(r); bad != nil {
			d.row.reason, d.row.words = bad.reason, bad.words
		}
	}
	b.drafts = append(b.drafts, d)
}

// flush brings a batch's places to the grid's CRS and files its rows.
func (b *batch) flush() {
	groups := map[layers.CRS][]int{}
	var order []layers.CRS
	for i, d := range b.drafts {
		if d.row.reason != "" {
			continue
		}
		if groups[d.record.CRS] == nil {
			order = append(order, d.record.CRS)
		}
		groups[d.record.CRS] = append(groups[d.record.CRS], i)
	}
	for _, crs := range order {
		b.transform(crs, groups[crs])
	}
	for _, d := range b.drafts {
		if d.row.reason == "" {
			b.set.Records = append(b.set.Records, d.record)
		} else {
			b.set.Rejects = append(b.set.Rejects, d.row.rejected(b.names))
		}
	}
	clear(b.drafts)
	b.drafts = b.drafts[:0]
}

func (b *batch) transform(crs layers.CRS, members []int) {
	xs, ys := make([]float64, len(members)), make([]float64, len(members))
	for i, m := range members {
		xs[i], ys[i] = b.drafts[m].record.Given[0], b.drafts[m].record.Given[1]
	}
	t, err := b.transformOf(crs, b.drafts[members[0]].record.Given)
	if err == nil {
		err = t.Points(xs, ys)
	}
	for i, m := range members {
		d := &b.drafts[m]
		switch {
		case err != nil:
			d.row.reason, d.row.words = NoTransform, fmt.Sprintf("from %s to %s: %v", crs.Name(), b.ways.to.Name(), err)
		case math.IsNaN(xs[i]) || math.IsNaN(ys[i]):
			d.row.reason, d.row.words = OutOfBounds, fmt.Sprintf("%g, %g in %s lies nowhere in %s", d.record.Given[0], d.record.Given[1], crs.Name(), b.ways.to.Name())
		default:
			d.record.Point[0], d.record.Point[1] = xs[i], ys[i]
		}
	}
}

// transformOf is the way from a CRS; it notes once what a change of datum leaves
// uncertain.
func (b *batch) transformOf(crs layers.CRS, at orb.Point) (*layers.Transform, error) {
	t, fresh, err := b.ways.from(crs)
	if err != nil || !fresh {
		return t, err
	}
	if shift, err := layers.DatumShift(crs, b.ways.to, at); err == nil && shift.Warning() != "" {
		b.set.Notes = append(b.set.Notes, fmt.Sprintf("from %s to %s: %s", crs.Name(), b.ways.to.Name(), shift.Warning()))
	}
	return t, nil
}
