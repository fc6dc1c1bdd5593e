package suitability

import (
	"cmp"
	"math"
	"slices"

	"tussock/layers"
)

// crossing is where an edge crosses the line through a row's cell centres.
type crossing struct {
	row int
	x   float64
}

// burn marks the cells whose centre lies in a polygon. Edges and spans are half
// open, so a centre on a boundary that two polygons share belongs to exactly
// one of them; every comparison uses the centre's own coordinates, so the
// window plays no part.
func (m *RangeMap) burn(part *rangePart, standing uint8, b *rangeBlock) {
	w := b.window
	if !m.grid.Bound(w).Intersects(part.bound) {
		return
	}
	var crossings []crossing
	for _, e := range part.edges {
		crossings = m.cross(crossings, e, w)
	}
	slices.SortFunc(crossings, func(p, q crossing) int {
		return cmp.Or(cmp.Compare(p.row, q.row), cmp.Compare(p.x, q.x))
	})
	for i := 0; i+1 < len(crossings); i += 2 {
		row := b.standing[(crossings[i].row-w.Row)*w.Cols:]
		from, to := m.firstColumn(crossings[i].x, w), m.firstColumn(crossings[i+1].x, w)
		for col := from; col < to; col++ {
			row[col-w.Col] = standing
		}
	}
}

// cross adds the crossings of one edge, for rows with y1 ≤ centre < y2.
func (m *RangeMap) cross(list []crossing, e edge, w layers.Window) []crossing {
	for row, bottom := m.firstRow(e.y2, w), m.firstRow(e.y1, w); row < bottom; row++ {
		y := m.grid.Centre(0, row)[1]
		x := e.x1 + float64((y-e.y1)*((e.x2-e.x1)/(e.y2-e.y1)))
		list = append(list, crossing{row, x})
	}
	return list
}

// firstRow is the window's first row, or its bottom, whose centres lie below y.
func (m *RangeMap) firstRow(y float64, w layers.Window) int {
	row := within((m.grid.North-y)/m.grid.Cell, w.Row, w.Bottom())
	for row > w.Row && m.grid.Centre(0, row-1)[1] < y {
		row--
	}
	for row < w.Bottom() && m.grid.Centre(0, row)[1] >= y {
		row++
	}
	return row
}

// firstColumn is the window's first column, or its right end, whose centres lie
// at or to the right of x.
func (m *RangeMap) firstColumn(x float64, w layers.Window) int {
	col := within((x-m.grid.West)/m.grid.Cell, w.Col, w.Right())
	for col > w.Col && m.grid.Centre(col-1, 0)[0] >= x {
		col--
	}
	for col < w.Right() && m.grid.Centre(col, 0)[0] < x {
		col++
	}
	return col
}

// within is floor(v) kept between two bounds before it becomes a whole number.
func within(v float64, low, high int) int {
	return int(min(max(math.Floor(v), float64(low)), float64(high)))
}
