package land

// lattice is a field of numbers on square cells, row by row from the
// north-west.
type lattice struct {
	cols, rows int
	cell       float64 // m
	west       float64 // m from the district's west edge to the lattice's
	north      float64 // m from the district's north edge down to the lattice's
	v          []float64
}

func newLattice(cols, rows int, cell, west, north float64) *lattice {
	return &lattice{cols: cols, rows: rows, cell: cell, west: west, north: north, v: make([]float64, cols*rows)}
}

// fullLattice is one number for each cell of the district.
func fullLattice() *lattice { return newLattice(Cols, Rows, Cell, 0, 0) }

// place is the middle of a cell, in metres east and south of the north-west
// corner of the district.
func (l *lattice) place(i int) (x, y float64) {
	return l.west + (float64(i%l.cols)+0.5)*l.cell, l.north + (float64(i/l.cols)+0.5)*l.cell
}

// fill sets every cell to a function of its place.
func (l *lattice) fill(f func(x, y float64) float64) *lattice {
	for i := range l.v {
		l.v[i] = f(l.place(i))
	}
	return l
}

// sample reads the field anywhere: Catmull-Rom splines between the middles of
// cells, flat beyond the edge.
func (l *lattice) sample(x, y float64) float64 {
	gx, gy := (x-l.west)/l.cell-0.5, (y-l.north)/l.cell-0.5
	i, j := floor(gx), floor(gy)
	wx, wy := spline(gx-float64(i)), spline(gy-float64(j))
	sum := 0.0
	for b := range 4 {
		row := clampInt(j-1+b, 0, l.rows-1) * l.cols
		line := 0.0
		for a := range 4 {
			line += wx[a] * l.v[row+clampInt(i-1+a, 0, l.cols-1)]
		}
		sum += wy[b] * line
	}
	return sum
}

func spline(t float64) [4]float64 {
	return [4]float64{
		((-0.5*t+1)*t - 0.5) * t, (1.5*t-2.5)*t*t + 1, ((-1.5*t+2)*t + 0.5) * t, (0.5*t - 0.5) * t * t,
	}
}

// blur smooths a field by passes of a box of 2·reach + 1 cells; three passes are
// close to a bell.
func (l *lattice) blur(reach, passes int) *lattice {
	line := make([]float64, max(l.cols, l.rows))
	for range passes {
		for r := range l.rows {
			smoothLine(l.v, line, r*l.cols, 1, l.cols, reach)
		}
		for c := range l.cols {
			smoothLine(l.v, line, c, l.cols, l.rows, reach)
		}
	}
	return l
}

func smoothLine(v, line []float64, start, step, n, reach int) {
	for i := range n {
		line[i] = v[start+i*step]
	}
	at := func(i int) float64 { return line[clampInt(i, 0, n-1)] }
	sum := 0.0
	for i := -reach; i <= reach; i++ {
		sum += at(i)
	}
	for i := range n {
		v[start+i*step] = sum / float64(2*reach+1)
		sum += at(i+reach+1) - at(i-reach)
	}
}

// around lists the neighbours of a cell: four across its sides first, then four
// across its corners.
func around(i, cols, rows int, near *[8]int) []int {
	c, r, n := i%cols, i/cols, 0
	for _, s := range steps {
		if x, y := c+s[0], r+s[1]; x >= 0 && x < cols && y >= 0 && y < rows {
			near[n] = y*cols + x
			n++
		}
	}
	return near[:n]
}

var steps = [8][2]int{{0, -1}, {1, 0}, {0, 1}, {-1, 0}, {1, -1}, {1, 1}, {-1, 1}, {-1, -1}}

func clampInt(v, low, high int) int { return min(max(v, low), high) }

func floor(v float64) int {
	i := int(v)
	if v < float64(i) {
		i--
	}
	return i
}
