package layers

import (
	"math"

	"github.com/paulmach/orb"
)

// length adds the metres of line in each cell. Each cell's part of a segment is
// computed from the segment and the cell alone: it lies between the greatest
// entry and the least exit, as fractions of the segment. A segment along an
// edge belongs to the cell below or to the right of it.
func (b *burner) length(lines []orb.LineString, metres []float64) {
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			b.segmentLength(l[i-1], l[i], metres)
		}
	}
}

func (b *burner) segmentLength(p, q orb.Point, metres []float64) {
	w := b.window
	whole := math.Hypot(q[0]-p[0], q[1]-p[1]) * b.cell
	first, last := clampCell(math.Floor(min(p[1], q[1]))), clampCell(math.Floor(max(p[1], q[1])))
	for row := max(first, w.Row); row <= min(last, w.Bottom()-1); row++ {
		in, leave := stay(p[1], q[1], row)
		if !(in < leave) {
			continue
		}
		a, z := p[0]+float64((q[0]-p[0])*in), p[0]+float64((q[0]-p[0])*leave)
		// One column more on both sides, for a and z are rounded.
		from, to := clampCell(math.Floor(min(a, z)))-1, clampCell(math.Floor(max(a, z)))+1
		line := metres[(row-w.Row)*w.Cols:]
		for col := max(from, w.Col); col <= min(to, w.Right()-1); col++ {
			enter, exit := stay(p[0], q[0], col)
			if part := min(leave, exit) - max(in, enter); part > 0 {
				line[col-w.Col] += float64(part * whole)
			}
		}
	}
}

// stay is the part, from 0 to 1, of the way from a to z that lies in
// [k, k+1); for a = z it is all or nothing.
func stay(a, z float64, k int) (enter, exit float64) {
	low, high := float64(k), float64(k+1)
	if a == z {
		if low <= a && a < high {
			return 0, 1
		}
		return 1, 0
	}
	enter, exit = (low-a)/(z-a), (high-a)/(z-a)
	if enter > exit {
		enter, exit = exit, enter
	}
	return max(enter, 0), min(exit, 1)
}
