package layers

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// shareUnion joins the coverage of many polygons, so that ground under two of them
// counts once. A cell with one polygon has that one's share; where several meet
// in a cell, their union is computed in the cell itself, from those polygons
// alone and in their order.
type shareUnion struct {
	window Window
	covers []int64        // units of the only polygon, or fullCell
	owner  []int32        // 1 + the only polygon, or a mark
	shared []sharedGround // the polygons of cells that have several
	parts  []unionPart
}

// sharedGround is one polygon of a cell that several meet in.
type sharedGround struct {
	k    int32
	part int32
}

// Marks in owner for cells that no single polygon owns; 0 is nobody yet.
const (
	manyOwners int32 = -1
	wholeOwner int32 = -2
)

func newShareUnion(w Window) *shareUnion {
	return &shareUnion{window: w, covers: make([]int64, w.Cells()), owner: make([]int32, w.Cells())}
}

// part takes up a polygon and gives its number.
func (u *shareUnion) part(rings []orb.Ring, under Window) int32 {
	u.parts = append(u.parts, unionPart{rings: rings, under: under})
	return int32(len(u.parts) - 1)
}

func (u *shareUnion) add(part int32, col, row int, units int64) {
	k := (row-u.window.Row)*u.window.Cols + col - u.window.Col
	switch owner := u.owner[k]; {
	case owner == wholeOwner:
	case units == fullCell:
		u.owner[k], u.covers[k] = wholeOwner, fullCell
	case owner == 0:
		u.owner[k], u.covers[k] = part+1, units
	case owner == manyOwners:
		u.shared = append(u.shared, sharedGround{int32(k), part})
	default:
		u.shared = append(u.shared, sharedGround{int32(k), owner - 1}, sharedGround{int32(k), part})
		u.owner[k] = manyOwners
	}
}

// write puts the shares into a block of the same window.
func (u *shareUnion) write(out Block) {
	for k, units := range u.covers {
		if units > 0 {
			out.Values[k] = float32(float64(units) / float64(fullCell))
		}
	}
	slices.SortFunc(u.shared, func(a, b sharedGround) int { return cmp.Or(cmp.Compare(a.k, b.k), cmp.Compare(a.part, b.part)) })
	var sweep cellSweep
	for from := 0; from < len(u.shared); {
		k, end := u.shared[from].k, from+1
		for end < len(u.shared) && u.shared[end].k == k {
			end++
		}
		if u.owner[k] != wholeOwner {
			out.Values[k] = u.joined(&sweep, int(k), u.shared[from:end])
		}
		from = end
	}
}

// joined is the share of one cell under several polygons.
func (u *shareUnion) joined(sweep *cellSweep, k int, parts []sharedGround) float32 {
	col, row := u.window.Col+k%u.window.Cols, u.window.Row+k/u.window.Cols
	sweep.begin(col, row)
	for i, p := range parts {
		for _, edge := range u.parts[p.part].edges(row) {
			sweep.add(edge[0], edge[1], i)
		}
	}
	return float32(min(sweep.area(len(parts)), 1))
}

// unionPart is one polygon, with its edges by row once a cell asks for them.
type unionPart struct {
	rings []orb.Ring
	under Window // the cells of the union's window under its bound
	rows  [][][2]orb.Point
}

// edges are the polygon's edges in a row, in the order of its rings, each given
// downwards. A polygon of few edges gives them all.
func (p *unionPart) edges(row int) [][2]orb.Point {
	if p.rows == nil {
		p.sort()
	}
	if len(p.rows) == 1 {
		return p.rows[0]
	}
	return p.rows[row-p.under.Row]
}

// fewEdges are not worth sorting by row.
const fewEdges = 24

func (p *unionPart) sort() {
	edges := 0
	for _, ring := range p.rings {
		edges += max(len(ring)-1, 0)
	}
	few := edges <= fewEdges
	p.rows = make([][][2]orb.Point, p.under.Rows)
	if few {
		p.rows = [][][2]orb.Point{make([][2]orb.Point, 0, edges)}
	}
	for _, ring := range p.rings {
		for i := 1; i < len(ring); i++ {
			a, z := ring[i-1], ring[i]
			if a[1] > z[1] {
				a, z = z, a
			}
			if few {
				p.rows[0] = append(p.rows[0], [2]orb.Point{a, z})
				continue
			}
			first, last := clampCell(math.Floor(a[1])), clampCell(math.Floor(z[1]))
			for r := max(first, p.under.Row); r <= min(last, p.under.Bottom()-1); r++ {
				p.rows[r-p.under.Row] = append(p.rows[r-p.under.Row], [2]orb.Point{a, z})
			}
		}
	}
}
