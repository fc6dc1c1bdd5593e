package layers

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// centres calls set for the runs of cells whose centre lies inside rings, by
// the even-odd rule.
//
// An edge takes part in a row where v₁ ≤ centre < v₂, and a run holds the
// columns with u₁ ≤ centre < u₂. An edge is always computed from its upper end,
// so two polygons that share it compute the same crossing: they never share a
// centre and never lose one between them.
func (b *burner) centres(rings []orb.Ring, set func(row, from, to int)) {
	w := b.window
	top, bottom := w.Bottom(), w.Row
	for _, ring := range rings {
		for i := 1; i < len(ring); i++ {
			first, end := b.crossings(ring[i-1], ring[i])
			if first < end {
				top, bottom = min(top, first), max(bottom, end)
			}
		}
	}
	for row := top; row < bottom; row++ {
		us := b.rows[row-w.Row]
		slices.Sort(us)
		for k := 0; k+1 < len(us); k += 2 {
			from, to := firstCentre(us[k], w.Col, w.Right()), firstCentre(us[k+1], w.Col, w.Right())
			if from < to {
				set(row, from, to)
			}
		}
		b.rows[row-w.Row] = us[:0]
	}
}

// crossings adds where an edge crosses the rows' centres, and returns the rows.
func (b *burner) crossings(p, q orb.Point) (first, end int) {
	if p[1] > q[1] {
		p, q = q, p
	}
	w := b.window
	first, end = firstCentre(p[1], w.Row, w.Bottom()), firstCentre(q[1], w.Row, w.Bottom())
	slope := (q[0] - p[0]) / (q[1] - p[1])
	for row := first; row < end; row++ {
		u := p[0] + float64((float64(row)+0.5-p[1])*slope)
		b.rows[row-w.Row] = append(b.rows[row-w.Row], u)
	}
	return first, end
}

// firstCentre is the first cell whose centre lies at v or beyond, kept between
// low and high.
func firstCentre(v float64, low, high int) int {
	return min(max(clampCell(math.Ceil(v-0.5)), low), high)
}
