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
	beside = beside[:len(row)]
	ahead := beside[0]
	west, corners := math.Inf(1), math.Inf(1)
	for c, v := range row {
		here := ahead
		if ahead = math.Inf(1); c+1 < len(beside) {
			ahead = beside[c+1]
		}
		row[c] = nearer(v, here, west, corners, ahead)
		west, corners = row[c], here
	}
}

// sweepWest is sweepEast from the other side.
func sweepWest(row, beside []float64) {
	beside = beside[:len(row)]
	ahead := beside[len(row)-1]
	east, corners := math.Inf(1), math.Inf(1)
	for c := len(row) - 1; c >= 0; c-- {
		here := ahead
		if ahead = math.Inf(1); c > 0 {
			ahead = beside[c-1]
		}
		row[c] = nearer(row[c], here, east, corners, ahead)
		east, corners = row[c], here
	}
}

// nearer is the least of a distance and those by way of four neighbours: two
// over sides, two over corners.
func nearer(v, side1, side2, corner1, corner2 float64) float64 {
	if d := side1 + Cell; d < v {
		v = d
	}
	if d := side2 + Cell; d < v {
		v = d
	}
	if d := corner1 + corner; d < v {
		v = d
	}
	if d := corner2 + corner; d < v {
		v = d
	}
	return v
}
