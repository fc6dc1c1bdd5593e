package suitability

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
	"tussock/layers"
)

// shoreIndex finds the boundary edges of documented and uncertain range near a
// place.
type shoreIndex struct {
	tree  rtree.RTreeG[int32]
	edges []edge
}

func newShoreIndex(parts []rangePart) *shoreIndex {
	s := &shoreIndex{}
	for _, part := range parts {
		for _, e := range part.edges {
			low := [2]float64{min(e.x1, e.x2), e.y1}
			high := [2]float64{max(e.x1, e.x2), e.y2}
			s.tree.Insert(low, high, int32(len(s.edges)))
			s.edges = append(s.edges, e)
		}
	}
	return s
}

// near lists the edges whose bounds come within reach of a bound.
func (s *shoreIndex) near(b orb.Bound, reach float64) []edge {
	var list []edge
	low := [2]float64{b.Min[0] - reach, b.Min[1] - reach}
	high := [2]float64{b.Max[0] + reach, b.Max[1] + reach}
	s.tree.Search(low, high, func(_, _ [2]float64, i int32) bool {
		list = append(list, s.edges[i])
		return true
	})
	return list
}

// distance is how far a point is from an edge, metres.
func (e edge) distance(p orb.Point) float64 {
	dx, dy := e.x2-e.x1, e.y2-e.y1
	px, py := p[0]-e.x1, p[1]-e.y1
	t := (float64(px*dx) + float64(py*dy)) / (float64(dx*dx) + float64(dy*dy))
	t = min(max(t, 0), 1)
	px, py = px-float64(t*dx), py-float64(t*dy)
	return math.Sqrt(float64(px*px) + float64(py*py))
}

// Candidates are narrowed down for chunks of cells and again for squares within
// them, both anchored on the grid.
const (
	edgeChunk  = 64
	edgeSquare = 8
)

// measureEdge turns outside cells within the edge distance into Edge, with
// their distance. The distance is the least over all edges of the boundary;
// those left out are provably farther, so the result is exact and the same in
// any window.
func (m *RangeMap) measureEdge(b *rangeBlock) {
	tiles(b.window, edgeChunk, func(chunk layers.Window) {
		if !b.anyOutside(chunk) {
			return
		}
		near := m.shores.near(m.grid.Bound(chunk), m.edge)
		if len(near) == 0 {
			return
		}
		tiles(chunk, edgeSquare, func(square layers.Window) {
			if b.anyOutside(square) {
				m.measureSquare(b, square, near)
			}
		})
	})
}

// measureSquare tries, cell by cell, the edges that can be nearest to some cell
// of the square. A cell r from the square's centre is at most d + r from the
// edge nearest to that centre, d away, and at least d' − r from one d' away: so
// edges with d' > d + 2r cannot be nearest.
func (m *RangeMap) measureSquare(b *rangeBlock, square layers.Window, near []edge) {
	bound := m.grid.Bound(square)
	centre, r := bound.Center(), math.Hypot(bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1])/2
	distances, least := make([]float64, len(near)), math.Inf(1)
	for i, e := range near {
		distances[i] = e.distance(centre)
		least = min(least, distances[i])
	}
	if least > (m.edge+r)*(1+1e-9) {
		return
	}
	limit := (least + 2*r) * (1 + 1e-9) // room for rounding
	var nearest []edge
	for i, e := range near {
		if distances[i] <= limit {
			nearest = append(nearest, e)
		}
	}
	m.measureCells(b, square, nearest)
}

func (m *RangeMap) measureCells(b *rangeBlock, square layers.Window, nearest []edge) {
	for row := square.Row; row < square.Bottom(); row++ {
		for col := square.Col; col < square.Right(); col++ {
			at := b.at(col, row)
			if b.standing[at] != uint8(Outside) {
				continue
			}
			p, d := m.grid.Centre(col, row), math.Inf(1)
			for _, e := range nearest {
				d = min(d, e.distance(p))
			}
			if d < m.edge {
				b.markEdge(at, d)
			}
		}
	}
}

func (b *rangeBlock) at(col, row int) int {
	return (row-b.window.Row)*b.window.Cols + col - b.window.Col
}

func (b *rangeBlock) markEdge(at int, d float64) {
	if b.distance == nil {
		b.distance = make([]float64, len(b.standing))
		for i := range b.distance {
			b.distance[i] = math.NaN()
		}
	}
	b.standing[at], b.distance[at] = uint8(Edge), d
}

func (b *rangeBlock) anyOutside(w layers.Window) bool {
	for row := w.Row; row < w.Bottom(); row++ {
		from := b.at(w.Col, row)
		for _, s := range b.standing[from : from+w.Cols] {
			if s == uint8(Outside) {
				return true
			}
		}
	}
	return false
}

// tiles visits the parts of a window that fall into squares of a side, anchored
// at cell (0, 0) of the grid.
func tiles(w layers.Window, side int, visit func(layers.Window)) {
	for row := floorTo(w.Row, side); row < w.Bottom(); row += side {
		for col := floorTo(w.Col, side); col < w.Right(); col += side {
			visit(layers.Window{Col: col, Row: row, Cols: side, Rows: side}.Intersect(w))
		}
	}
}

func floorTo(v, side int) int { return v - ((v%side)+side)%side }
