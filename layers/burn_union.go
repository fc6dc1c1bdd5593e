package layers

import (
	"math"

	"github.com/paulmach/orb"
)

// shareUnion joins the coverage of many polygons, so that ground under two of them
// counts once. A cell with one polygon has that one's share; where several meet
// in a cell, their union is computed in the cell itself, from those polygons
// alone and in their order.
type shareUnion struct {
	window Window
	covers []int64         // units of the only polygon, or full
	owner  []int32         // 1 + the only polygon, 0 for none, several or whole
	shared map[int][]int32 // the polygons of a cell that has several
	parts  []unionPart
}

// unionPart is one polygon, with its edges by row of the window once a cell
// asks for them.
type unionPart struct {
	rings []orb.Ring
	rows  [][][2]orb.Point
}

// edges are the polygon's edges in a row of a window, in the order of its
// rings, each given downwards.
func (p *unionPart) edges(w Window, row int) [][2]orb.Point {
	if p.rows == nil {
		p.rows = make([][][2]orb.Point, w.Rows)
		for _, ring := range p.rings {
			for i := 1; i < len(ring); i++ {
				a, z := ring[i-1], ring[i]
				if a[1] > z[1] {
					a, z = z, a
				}
				first, last := clampCell(math.Floor(a[1])), clampCell(math.Floor(z[1]))
				for r := max(first, w.Row); r <= min(last, w.Bottom()-1); r++ {
					p.rows[r-w.Row] = append(p.rows[r-w.Row], [2]orb.Point{a, z})
				}
			}
		}
	}
	return p.rows[row-w.Row]
}

// Marks in owner for cells that no single polygon owns.
const (
	manyOwners int32 = -1
	wholeOwner int32 = -2
)

func newShareUnion(w Window) *shareUnion {
	return &shareUnion{window: w, covers: make([]int64, w.Cells()), owner: make([]int32, w.Cells()), shared: map[int][]int32{}}
}

// part takes up a polygon and gives its number.
func (u *shareUnion) part(rings []orb.Ring) int32 {
	u.parts = append(u.parts, unionPart{rings: rings})
	return int32(len(u.parts) - 1)
}

func (u *shareUnion) add(part int32, col, row int, units int64) {
	k := (row-u.window.Row)*u.window.Cols + col - u.window.Col
	switch owner := u.owner[k]; {
	case owner == wholeOwner:
	case units == fullCell:
		u.owner[k], u.covers[k] = wholeOwner, fullCell
		delete(u.shared, k)
	case owner == 0:
		u.owner[k], u.covers[k] = part+1, units
	case owner == manyOwners:
		u.shared[k] = append(u.shared[k], part)
	default:
		u.shared[k] = []int32{owner - 1, part}
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
	var sweep cellSweep
	for k, parts := range u.shared {
		col, row := u.window.Col+k%u.window.Cols, u.window.Row+k/u.window.Cols
		sweep.begin(col, row)
		for i, p := range parts {
			for _, edge := range u.parts[p].edges(u.window, row) {
				sweep.add(edge[0], edge[1], i)
			}
		}
		out.Values[k] = float32(min(sweep.area(len(parts)), 1))
	}
}
