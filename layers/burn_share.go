package layers

import (
	"math"

	"github.com/paulmach/orb"
)

// fullCell is the whole of a cell in units of the coverage sums: areas are summed
// as whole numbers, so that no order of edges and no window changes a bit.
const fullCell int64 = 1 << 40

// rounding is what a few rounded edges can add to a cell that is not covered.
const rounding = 64

// cellUnits turns a fraction of a cell into whole units.
func cellUnits(fraction float64) int64 { return int64(math.RoundToEven(fraction * float64(fullCell))) }

// coverage collects how much of each cell of a window one polygon covers. By
// Green's theorem the area to the right of an edge that runs down counts
// positive and that of an edge that runs up negative: within the edge's own
// cell it is the height times the mean distance to the cell's right side (own),
// and in all cells to the right the height (beyond).
type coverage struct {
	window      Window
	own, beyond []int64 // beyond has one column more, for what lies left of the window
}

// reset clears the sums for a window.
func (c *coverage) reset(w Window) {
	c.window = w
	c.own = scratchOf(&c.own, w.Cells())
	c.beyond = scratchOf(&c.beyond, w.Rows*(w.Cols+1))
	clear(c.own)
	clear(c.beyond)
}

// add adds the edges of a closed ring.
func (c *coverage) add(ring []orb.Point) {
	for i := 1; i < len(ring); i++ {
		p, q := ring[i-1], ring[i]
		switch {
		case p[1] < q[1]:
			c.edge(p, q, 1)
		case p[1] > q[1]:
			c.edge(q, p, -1)
		}
	}
}

// edge adds an edge given downwards. Heights are rounded at both ends, so the
// heights of a ring's edges cancel exactly.
func (c *coverage) edge(p, q orb.Point, sign int64) {
	w := c.window
	first, last := clampCell(math.Floor(p[1])), clampCell(math.Ceil(q[1]))-1
	slope := (q[0] - p[0]) / (q[1] - p[1])
	low, high := min(p[0], q[0]), max(p[0], q[0])
	for row := max(first, w.Row); row <= min(last, w.Bottom()-1); row++ {
		s := slab{row: row, top: 0, bottom: fullCell, from: p[0], to: q[0], p: p, q: q}
		if row == first {
			s.top = cellUnits(p[1] - float64(row))
		} else {
			s.from = min(max(p[0]+float64((float64(row)-p[1])*slope), low), high)
		}
		if row == last {
			s.bottom = cellUnits(q[1] - float64(row))
		} else {
			s.to = min(max(p[0]+float64((float64(row+1)-p[1])*slope), low), high)
		}
		c.slab(s, sign)
	}
}

// slab is an edge's part in one row: from the height top at u = from to the
// height bottom at u = to.
type slab struct {
	row         int
	top, bottom int64
	from, to    float64
	p, q        orb.Point
}

// height is where the edge crosses a whole column, within the slab.
func (s *slab) height(col int) int64 {
	v := s.p[1] + float64((float64(col)-s.p[0])*((s.q[1]-s.p[1])/(s.q[0]-s.p[0])))
	return min(max(cellUnits(v-float64(s.row)), s.top), s.bottom)
}

// ends are the heights at which the edge's part in a column begins and ends.
func (s *slab) ends(col int) (top, bottom int64) {
	top, bottom = s.top, s.bottom
	left, right := float64(col), float64(col+1)
	switch {
	case s.from < s.to:
		if s.from < left {
			top = s.height(col)
		}
		if s.to >= right {
			bottom = s.height(col + 1)
		}
	case s.from > s.to:
		if s.from >= right {
			top = s.height(col + 1)
		}
		if s.to < left {
			bottom = s.height(col)
		}
	}
	return top, bottom
}

func (c *coverage) slab(s slab, sign int64) {
	w := c.window
	own := c.own[(s.row-w.Row)*w.Cols:]
	beyond := c.beyond[(s.row-w.Row)*(w.Cols+1):]
	low, high := min(s.from, s.to), max(s.from, s.to)
	left, right := clampCell(math.Floor(low)), clampCell(math.Floor(high))
	if left < w.Col {
		beyond[0] += sign * s.leftOf(w.Col)
		left = w.Col
	}
	for col := left; col <= min(right, w.Right()-1); col++ {
		top, bottom := s.ends(col)
		height := bottom - top
		middle := (max(low, float64(col))+min(high, float64(col+1)))/2 - float64(col)
		own[col-w.Col] += sign * int64(math.RoundToEven(float64(height)*(1-middle)))
		beyond[col-w.Col+1] += sign * height
	}
}

// leftOf is the height of the part left of a column.
func (s *slab) leftOf(col int) int64 {
	at := float64(col)
	switch {
	case max(s.from, s.to) < at:
		return s.bottom - s.top
	case s.from < s.to:
		return s.height(col) - s.top
	default:
		return s.bottom - s.height(col)
	}
}

// each calls f for every cell that is covered, with the units covered.
func (c *coverage) each(f func(k int, units int64)) {
	w := c.window
	for row := range w.Rows {
		sum := int64(0)
		for col := range w.Cols {
			sum += c.beyond[row*(w.Cols+1)+col]
			covered := sum + c.own[row*w.Cols+col]
			switch {
			case covered >= fullCell-rounding:
				f(row*w.Cols+col, fullCell)
			case covered > rounding:
				f(row*w.Cols+col, covered)
			}
		}
	}
}

// share adds a shape's polygons and, where they are given a width of twice
// radius cells, its lines and points.
func (b *burner) share(s *shape, radius float64, into *shareUnion) {
	if len(s.rings) > 0 {
		b.sharePart(s.rings, into)
	}
	if radius <= 0 {
		return
	}
	for _, l := range s.lines {
		for piece := range widened(l, radius) {
			b.sharePart([]orb.Ring{piece}, into)
		}
	}
	for _, p := range s.points {
		b.sharePart([]orb.Ring{discRing(p, radius)}, into)
	}
}

// sharePart covers the cells under one polygon.
func (b *burner) sharePart(rings []orb.Ring, into *shareUnion) {
	w := ringsWindow(rings).Intersect(b.window)
	if w.Empty() {
		return
	}
	b.cover.reset(w)
	for _, r := range rings {
		b.cover.add(r)
	}
	part := into.part(rings, w)
	b.cover.each(func(k int, units int64) {
		into.add(part, w.Col+k%w.Cols, w.Row+k/w.Cols, units)
	})
}

// ringsWindow is the cells under a polygon's bound.
func ringsWindow(rings []orb.Ring) Window {
	low, high := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, r := range rings {
		for _, p := range r {
			low = orb.Point{min(low[0], p[0]), min(low[1], p[1])}
			high = orb.Point{max(high[0], p[0]), max(high[1], p[1])}
		}
	}
	return sourceWindow(low[0], low[1], high[0], high[1])
}
