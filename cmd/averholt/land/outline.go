package land

import (
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// The sides of a cell as steps along them, with the cell on the left: east along
// the south side, north along the east side, and so on.
var sides = [4][2]int{{1, 0}, {0, -1}, {-1, 0}, {0, 1}}

// tracing walks the border of a set of cells. Each corner of the lattice holds
// the sides that set out from it, as bits.
type tracing struct {
	out []uint8
}

const cornerCols = Cols + 1

// outlineOf is the outer ring of the greatest patch of a set of cells, its stairs
// smoothed, in grid coordinates; empty for no cells.
func outlineOf(cells []int) orb.Polygon {
	in := make([]bool, Cols*Rows)
	for _, i := range cells {
		in[i] = true
	}
	t := tracing{out: make([]uint8, cornerCols*(Rows+1))}
	for _, i := range cells {
		t.mark(i, in)
	}
	var widest orb.Ring
	most := 0.0
	for corner := range t.out {
		for t.out[corner] != 0 {
			if ring := t.walk(corner); planar.Area(ring) > most {
				widest, most = ring, planar.Area(ring)
			}
		}
	}
	if len(widest) == 0 {
		return nil
	}
	return orb.Polygon{eased(widest)}
}

// mark notes the sides of a cell that border on cells outside the set.
func (t tracing) mark(i int, in []bool) {
	c, r := i%Cols, i/Cols
	outside := func(dc, dr int) bool {
		x, y := c+dc, r+dr
		return x < 0 || y < 0 || x >= Cols || y >= Rows || !in[y*Cols+x]
	}
	for side, from := range [4][2]int{{c, r + 1}, {c + 1, r + 1}, {c + 1, r}, {c, r}} {
		way := [4][2]int{{0, 1}, {1, 0}, {0, -1}, {-1, 0}}[side]
		if outside(way[0], way[1]) {
			t.out[from[1]*cornerCols+from[0]] |= 1 << side
		}
	}
}

// walk follows sides from a corner back to it and takes them away. Where two set
// out it turns left, so that cells that touch at a corner are not joined.
func (t tracing) walk(start int) orb.Ring {
	var ring orb.Ring
	heading := 0
	for t.out[start]&(1<<heading) == 0 {
		heading++
	}
	for corner := start; ; {
		ring = append(ring, onMap(orb.Point{float64(corner%cornerCols) * Cell, float64(corner/cornerCols) * Cell}))
		t.out[corner] &^= 1 << heading
		corner += sides[heading][1]*cornerCols + sides[heading][0]
		if corner == start {
			break
		}
		for _, turn := range [3]int{1, 0, 3} {
			if next := (heading + turn) % 4; t.out[corner]&(1<<next) != 0 {
				heading = next
				break
			}
		}
	}
	return append(ring, ring[0])
}

// eased joins the middles of a ring's sides, which cuts its steps off, and leaves
// out what lies on straight lines.
func eased(ring orb.Ring) orb.Ring {
	middles := make([]orb.Point, 0, len(ring))
	for i := 1; i < len(ring); i++ {
		middles = append(middles, mix(ring[i-1], ring[i], 0.5))
	}
	middles = append(middles, middles[0])
	half := len(middles) / 2
	head := simplified(middles[:half+1], 6)
	return orb.Ring(append(head[:len(head)-1:len(head)-1], simplified(middles[half:], 6)...))
}
