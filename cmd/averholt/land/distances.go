package land

import "math"

// distances is how far each cell lies from the nearest of a set, m, counted
// from cell to cell over sides and corners (up to 8 % too long), at most limit.
func distances(limit float64, in func(i int) bool) []float64 {
	far := make([]float64, Cols*Rows)
	for i := range far {
		far[i] = limit
		if in(i) {
			far[i] = 0
		}
	}
	row := func(r int) []float64 { return far[r*Cols : (r+1)*Cols] }
	edge := make([]float64, Cols)
	for i := range edge {
		edge[i] = limit
	}
	for r, above := 0, edge; r < Rows; r++ {
		sweepEast(row(r), above)
		above = row(r)
	}
	for r, below := Rows-1, edge; r >= 0; r-- {
		sweepWest(row(r), below)
		below = row(r)
	}
	return far
}

const corner = Cell * math.Sqrt2

// sweepEast carries distances on from the west and from the row beside.
func sweepEast(row, beside []float64) {
	last := len(row) - 1
	for c, v := range row {
		v = min(v, beside[c]+Cell)
		if c > 0 {
			v = min(v, row[c-1]+Cell, beside[c-1]+corner)
		}
		if c < last {
			v = min(v, beside[c+1]+corner)
		}
		row[c] = v
	}
}

// sweepWest is sweepEast from the other side.
func sweepWest(row, beside []float64) {
	last := len(row) - 1
	for c := last; c >= 0; c-- {
		v := min(row[c], beside[c]+Cell)
		if c < last {
			v = min(v, row[c+1]+Cell, beside[c+1]+corner)
		}
		if c > 0 {
			v = min(v, beside[c-1]+corner)
		}
		row[c] = v
	}
}
