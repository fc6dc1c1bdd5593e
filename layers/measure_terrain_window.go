package layers

import "math"

// overSlopes fills out with a function of the rise eastwards and northwards.
// A cell whose 3 × 3 cells are not all known stays unknown: the rises are then
// not numbers, and neither is the centre's own elevation left out of account.
func overSlopes(source, out Block, cell float64, value func(east, north float64) float64) {
	w := out.Window
	for row := w.Row; row < w.Bottom(); row++ {
		rises(source, row, cell, func(i int, east, north float64) {
			out.ValueRow(row)[i] = float32(value(east, north))
		})
	}
}

// rises hands out the rise per metre at each cell of a row whose nine
// elevations are known.
func rises(source Block, row int, cell float64, each func(i int, east, north float64)) {
	top, mid, low := source.ValueRow(row-1), source.ValueRow(row), source.ValueRow(row+1)
	top, low = top[:len(mid)], low[:len(mid)]
	scale := 8 * cell
	for i := 0; i+2 < len(mid); i++ {
		a, b, c := float64(top[i]), float64(top[i+1]), float64(top[i+2])
		d, e, f := float64(mid[i]), float64(mid[i+1]), float64(mid[i+2])
		g, h, k := float64(low[i]), float64(low[i+1]), float64(low[i+2])
		east := ((c + f + f + k) - (a + d + d + g)) / scale
		north := ((a + b + b + c) - (g + h + h + k)) / scale
		if math.IsNaN(east + north + e) {
			continue
		}
		each(i, east, north)
	}
}

// roughness fills out with the greatest less the least of nine elevations.
func roughness(source, out Block) {
	w := out.Window
	for row := w.Row; row < w.Bottom(); row++ {
		top, mid, low := source.ValueRow(row-1), source.ValueRow(row), source.ValueRow(row+1)
		to := out.ValueRow(row)
		for i := range to {
			most := max(top[i], top[i+1], top[i+2], mid[i], mid[i+1], mid[i+2], low[i], low[i+1], low[i+2])
			least := min(top[i], top[i+1], top[i+2], mid[i], mid[i+1], mid[i+2], low[i], low[i+1], low[i+2])
			to[i] = most - least
		}
	}
}
