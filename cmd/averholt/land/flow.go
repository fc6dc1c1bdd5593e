package land

import "math"

// drainage is where water goes from each cell of a lattice.
type drainage struct {
	filled []float64 // elevation with every hollow filled to just above its outlet
	order  []int32   // cells from the lowest outlet upwards
	to     []int32   // the steepest way down; itself at an outlet
	area   []float64 // m² that drain through each cell, its own included
}

// trickle is the fall that a filled hollow gets per cell, so that water finds
// its way out of it.
const trickle = 1e-4 // m

// drain finds the drainage of a surface whose outlets are given: hollows are
// filled from the outlets upwards (Barnes, Lehman and Mulla 2014, Comput.
// Geosci. 62:117-127), then every cell drains the steepest way down.
func drain(l *lattice, outlet func(i int) bool) *drainage {
	n := len(l.v)
	d := &drainage{filled: make([]float64, n), order: make([]int32, 0, n), to: make([]int32, n), area: make([]float64, n)}
	d.flood(l, outlet)
	var near [8]int
	for i := range l.v {
		d.to[i] = int32(d.below(l, i, around(i, l.cols, l.rows, &near)))
	}
	for i := n - 1; i >= 0; i-- {
		at := d.order[i]
		d.area[at] += l.cell * l.cell
		if to := d.to[at]; to != at {
			d.area[to] += d.area[at]
		}
	}
	return d
}

func (d *drainage) flood(l *lattice, outlet func(i int) bool) {
	q := &queue{items: make([]queued, 0, len(l.v)/8)}
	seen := make([]bool, len(l.v))
	for i, z := range l.v {
		if outlet(i) {
			seen[i], d.filled[i] = true, z
			q.push(z, i)
		}
	}
	var near [8]int
	for !q.empty() {
		z, i := q.pop()
		d.order = append(d.order, int32(i))
		for _, j := range around(i, l.cols, l.rows, &near) {
			if !seen[j] {
				seen[j] = true
				d.filled[j] = max(l.v[j], z+trickle)
				q.push(d.filled[j], j)
			}
		}
	}
}

// below is the neighbour down the steepest slope, or the cell itself.
func (d *drainage) below(l *lattice, i int, near []int) int {
	best, steepest := i, 0.0
	for _, j := range near {
		fall := d.filled[i] - d.filled[j]
		if i%l.cols != j%l.cols && i/l.cols != j/l.cols {
			fall /= math.Sqrt2
		}
		if fall > steepest {
			best, steepest = j, fall
		}
	}
	return best
}
