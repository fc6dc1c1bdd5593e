package layers

// edtRow is what distanceRows hands out: squared distances in cells to the
// nearest member, along one row of the window; edtFar beyond the limit.
type edtRow func(row int, squared []int64)

const edtFar = -1

// distanceRows is the exact Euclidean distance transform, limited to a radius:
// first the distance to the nearest member up or down each column, then along
// each row the lower envelope of the parabolas (x − i)² + g(i)² (Meijster,
// Roerdink and Hesselink 2000; Felzenszwalb and Huttenlocher 2012). All of it
// is in whole numbers, so that a cell's distance is the same in any window.
//
// The members are asked for row by row, twice, over the window grown by the
// radius: open[i] must be 0 for a member and -1 for any other cell. Rows are
// handed out from the last to the first.
func distanceRows(w Window, limit int, members func(row int, open []int32), out edtRow) {
	radius := wholeRoot(limit)
	grown := w.Grow(radius)
	open, run := make([]int32, grown.Cols), make([]int32, grown.Cols)
	above := columnsDown(w, grown, radius, members, open, run)
	far := int32(radius) + 1
	for i := range run {
		run[i] = far
	}
	e := newEnvelope(radius, limit, w.Cols)
	for row := grown.Bottom() - 1; row >= w.Row; row-- {
		members(row, open)
		if row >= w.Bottom() {
			stepColumns(run, open)
			continue
		}
		up := above[(row-w.Row)*grown.Cols:][:len(run)]
		open := open[:len(run)]
		for i, steps := range run {
			steps = (steps + 1) & open[i]
			run[i] = steps
			up[i] = min(up[i], steps)
		}
		out(row, e.along(up))
	}
}

// columnsDown is, for each cell of the window's rows, how many rows above it
// the nearest member lies; more than the radius if none does.
func columnsDown(w, grown Window, radius int, members func(int, []int32), open, run []int32) []int32 {
	above := make([]int32, w.Rows*grown.Cols)
	far := int32(radius) + 1
	for i := range run {
		run[i] = far
	}
	for row := grown.Row; row < w.Bottom(); row++ {
		members(row, open)
		stepColumns(run, open)
		if row >= w.Row {
			copy(above[(row-w.Row)*grown.Cols:], run)
		}
	}
	return above
}

// stepColumns goes one row on: 0 at a member, else one more than before.
func stepColumns(run, open []int32) {
	open = open[:len(run)]
	for i, steps := range run {
		run[i] = (steps + 1) & open[i]
	}
}

// envelope finds the lowest parabola for each cell of a row. With the common
// x² left out, parabola i is the straight line c − 2·i·x with c = i² + g², so
// the lower envelope is the lower convex hull of the points (i, c). Products
// stay below 2⁶³ for rows of up to a million cells.
type envelope struct {
	radius int32
	limit  int64
	hull   []hullPoint
	row    []int64
}

type hullPoint struct{ i, c int64 }

func newEnvelope(radius, limit, cols int) *envelope {
	return &envelope{radius: int32(radius), limit: int64(limit), row: make([]int64, cols)}
}

// along turns a row of column distances, which sticks out by the radius on
// both sides, into squared distances.
func (e *envelope) along(up []int32) []int64 {
	e.build(up)
	if len(e.hull) == 0 {
		for i := range e.row {
			e.row[i] = edtFar
		}
		return e.row
	}
	k, hull := 0, e.hull
	here := hull[0]
	for j := range e.row {
		x := int64(j) + int64(e.radius)
		for k+1 < len(hull) && hull[k+1].c-here.c <= 2*x*(hull[k+1].i-here.i) {
			k++
			here = hull[k]
		}
		d := here.c + x*(x-2*here.i)
		if d > e.limit {
			d = edtFar
		}
		e.row[j] = d
	}
	return e.row
}

// build lays the lower convex hull over the columns that hold a member within
// the radius.
func (e *envelope) build(up []int32) {
	hull := e.hull[:0]
	for i, g := range up {
		if g > e.radius {
			continue
		}
		p := hullPoint{int64(i), int64(i)*int64(i) + int64(g)*int64(g)}
		for n := len(hull); n >= 2; n-- {
			a, b := hull[n-2], hull[n-1]
			if (b.c-a.c)*(p.i-b.i) < (p.c-b.c)*(b.i-a.i) {
				break
			}
			hull = hull[:n-1]
		}
		hull = append(hull, p)
	}
	e.hull = hull
}
