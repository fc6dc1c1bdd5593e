package suitability

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
	"tussock/layers"
)

// shoreIndex finds the boundaries of documented and uncertain range near a
// place.
type shoreIndex struct{ tree rtree.RTreeG[*shore] }

// shore is a short run of edges, one behind the other, with its bound. Whole
// runs are passed over by their bound.
type shore struct {
	bound orb.Bound
	edges []edge
}

const shoreEdges = 16

func newShoreIndex(parts []rangePart) *shoreIndex {
	index := &shoreIndex{}
	for _, part := range parts {
		for edges := range slices.Chunk(part.edges, shoreEdges) {
			s := &shore{bound: edges[0].bound(), edges: edges}
			for _, e := range edges[1:] {
				s.bound = s.bound.Union(e.bound())
			}
			index.tree.Insert(s.bound.Min, s.bound.Max, s)
		}
	}
	return index
}

func (e edge) bound() orb.Bound {
	return orb.Bound{Min: orb.Point{min(e.x1, e.x2), e.y1}, Max: orb.Point{max(e.x1, e.x2), e.y2}}
}

// near lists the runs whose bounds come within reach of a bound.
func (s *shoreIndex) near(b orb.Bound, reach float64) []*shore {
	var list []*shore
	low := [2]float64{b.Min[0] - reach, b.Min[1] - reach}
	high := [2]float64{b.Max[0] + reach, b.Max[1] + reach}
	s.tree.Search(low, high, func(_, _ [2]float64, run *shore) bool {
		list = append(list, run)
		return true
	})
	return list
}

// atLeast is a distance that no edge of the run can be nearer than, with room
// for rounding.
func (s *shore) atLeast(p orb.Point) float64 {
	dx := max(s.bound.Min[0]-p[0], p[0]-s.bound.Max[0], 0)
	dy := max(s.bound.Min[1]-p[1], p[1]-s.bound.Max[1], 0)
	return math.Sqrt(dx*dx+dy*dy)*(1-1e-9) - 1e-6
}

// nearest is the least of d and the distances to the runs, and the run that it
// belongs to. Runs that are provably farther than another are passed over, so
// the result is that of trying every edge.
func nearest(p orb.Point, d float64, runs []*shore) (float64, int) {
	which := 0
	for i, run := range runs {
		if run.atLeast(p) > d {
			continue
		}
		for _, e := range run.edges {
			if at := e.distance(p); at < d {
				d, which = at, i
			}
		}
	}
	return d, which
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
// their distance. The distance is the least over all edges of the boundary
// and so the same in any window.
func (m *RangeMap) measureEdge(b *rangeBlock) {
	tiles(b.window, edgeChunk, func(chunk layers.Window) {
		if !b.anyOutside(chunk) {
			return
		}
		near := m.shores.near(m.grid.Bound(chunk), m.edge)
		if len(near) == 0 || m.allEdge(b, chunk, near) {
			return
		}
		tiles(chunk, edgeSquare, func(square layers.Window) {
			if b.anyOutside(square) && !m.allEdge(b, square, near) {
				m.measureSquare(b, square, near)
			}
		})
	})
}

// allEdge marks a square without measuring each cell, where nobody asked for
// distances and the distance of its centre proves that every cell is within the
// edge distance.
func (m *RangeMap) allEdge(b *rangeBlock, square layers.Window, runs []*shore) bool {
	if b.exact {
		return false
	}
	centre, r := m.middle(square)
	d, _ := nearest(centre, m.edge, runs)
	if (d+r)*(1+1e-9) >= m.edge {
		return false
	}
	for row := square.Row; row < square.Bottom(); row++ {
		from := b.at(square.Col, row)
		for i, s := range b.standing[from : from+square.Cols] {
			if s == uint8(Outside) {
				b.standing[from+i] = uint8(Edge)
			}
		}
	}
	return true
}

// middle is the centre of a square of cells and how far its corners lie from it.
func (m *RangeMap) middle(square layers.Window) (centre orb.Point, r float64) {
	bound := m.grid.Bound(square)
	return bound.Center(), math.Hypot(bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]) / 2
}

// measureSquare narrows the runs down to those that can be nearest to some cell
// of a square. A cell r from the square's centre is at most d + r from the edge
// nearest to that centre, d away, and at least d' − r from a run d' away: so runs
// with d' > d + 2r cannot be nearest.
func (m *RangeMap) measureSquare(b *rangeBlock, square layers.Window, runs []*shore) {
	centre, r := m.middle(square)
	d, first := nearest(centre, math.Inf(1), runs)
	if d > (m.edge+r)*(1+1e-9) {
		return
	}
	candidates := []*shore{runs[first]}
	for i, run := range runs {
		if i != first && run.atLeast(centre) <= d+2*r {
			candidates = append(candidates, run)
		}
	}
	m.measureCells(b, square, candidates)
}

func (m *RangeMap) measureCells(b *rangeBlock, square layers.Window, runs []*shore) {
	for row := square.Row; row < square.Bottom(); row++ {
		for col := square.Col; col < square.Right(); col++ {
			at := b.at(col, row)
			if b.standing[at] != uint8(Outside) {
				continue
			}
			d, which := nearest(m.grid.Centre(col, row), math.Inf(1), runs)
			if d < m.edge {
				b.markEdge(at, d)
			}
			// The next cell is most likely nearest to the same run: try it first.
			runs[0], runs[which] = runs[which], runs[0]
		}
	}
}

func (b *rangeBlock) at(col, row int) int {
	return (row-b.window.Row)*b.window.Cols + col - b.window.Col
}

func (b *rangeBlock) markEdge(at int, d float64) {
	b.standing[at] = uint8(Edge)
	if !b.exact {
		return
	}
	if b.distance == nil {
		b.distance = make([]float64, len(b.standing))
		for i := range b.distance {
			b.distance[i] = math.NaN()
		}
	}
	b.distance[at] = d
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
