package layers

import "math"

// overSlopes fills out with a function of the rise eastwards and northwards.
func overSlopes(source, out Block, cell float64, value func(east, north float64) float64) {
	w := out.Window
	r := newRises(w.Cols, cell)
	for row := w.Row; row < w.Bottom(); row++ {
		r.along(source, row)
		for i, to := 0, out.ValueRow(row); i < len(to); i++ {
			if east, north := r.east[i], r.north[i]; east == east {
				to[i] = float32(value(east, north))
			}
		}
	}
}

// rises is the rise per metre at each cell of a row; not a number where any of
// the nine elevations is unknown.
type rises struct {
	east, north []float64
	sum, drop   []float64 // of each column of three: b + 2e + h, and b − h
	scale       float64
}

func newRises(cols int, cell float64) *rises {
	return &rises{
		east: make([]float64, cols), north: make([]float64, cols),
		sum: make([]float64, cols+2), drop: make([]float64, cols+2), scale: 8 * cell,
	}
}

// along reckons the rises of one row.
func (r *rises) along(source Block, row int) {
	top, mid, low := source.ValueRow(row-1), source.ValueRow(row), source.ValueRow(row+1)
	for i := range r.sum {
		b, e, h := float64(top[i]), float64(mid[i]), float64(low[i])
		r.sum[i], r.drop[i] = b+e+e+h, b-h
	}
	for i := range r.east {
		east := (r.sum[i+2] - r.sum[i]) / r.scale
		north := (r.drop[i] + r.drop[i+1] + r.drop[i+1] + r.drop[i+2]) / r.scale
		// The centre's elevation counts in neither, but must be known.
		if all := east + north + r.sum[i+1]; all != all {
			east, north = math.NaN(), math.NaN()
		}
		r.east[i], r.north[i] = east, north
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
