package layers

import (
	"iter"
	"math"
)

// chunkCells is the side of a chunk of the target, in cells. Chunks lie at
// whole multiples of it, counted from cell (0, 0).
const chunkCells = 64

// chunkOf is the chunk of a column or row.
func chunkOf(cell int) int {
	if cell < 0 {
		return -((chunkCells - 1 - cell) / chunkCells)
	}
	return cell / chunkCells
}

// chunks cuts a window along the chunks, or leaves it whole.
func chunks(w Window, cut bool) iter.Seq[Window] {
	return func(yield func(Window) bool) {
		if !cut {
			yield(w)
			return
		}
		for j := chunkOf(w.Row); j <= chunkOf(w.Bottom()-1); j++ {
			for i := chunkOf(w.Col); i <= chunkOf(w.Right()-1); i++ {
				chunk := Window{Col: i * chunkCells, Row: j * chunkCells, Cols: chunkCells, Rows: chunkCells}
				if !yield(chunk.Intersect(w)) {
					return
				}
			}
		}
	}
}

// net is one chunk's nodes: (n+1)² source pixel coordinates, row by row. With
// n = 0 there is no net and every point is transformed for itself.
type net struct {
	n      int
	xs, ys []float64
}

// lay lays the coarsest net over a chunk that is good enough. A net of half the
// density is checked at every node that it lacks; where that error is within
// the tolerance, the full net's own is about a quarter of it.
func (m *Mapper) lay(i, j int) (net, error) {
	for n := 2; n <= chunkCells; n *= 2 {
		nodes, err := m.nodes(i, j, n)
		if err != nil {
			return net{}, err
		}
		worst := nodes.halfError()
		if worst <= m.tolerance {
			return nodes, nil
		}
		if math.IsNaN(worst) {
			break // the chunk sticks out of the transform's domain
		}
	}
	return net{}, nil
}

func (m *Mapper) nodes(i, j, n int) (net, error) {
	size, step := (n+1)*(n+1), chunkCells/n
	nodes := net{n: n, xs: make([]float64, 0, size), ys: make([]float64, 0, size)}
	for v := 0; v <= n; v++ {
		for u := 0; u <= n; u++ {
			x, y := m.targetPoint(float64(i*chunkCells+u*step), float64(j*chunkCells+v*step))
			nodes.xs, nodes.ys = append(nodes.xs, x), append(nodes.ys, y)
		}
	}
	return nodes, m.exact(nodes.xs, nodes.ys)
}

// exact turns points in the target's CRS into source pixel coordinates.
func (m *Mapper) exact(xs, ys []float64) error {
	if err := m.points(xs, ys); err != nil {
		return err
	}
	for k := range xs {
		xs[k], ys[k] = m.sourcePixel(xs[k], ys[k])
		if math.IsNaN(xs[k]+ys[k]) || math.IsInf(xs[k]+ys[k], 0) {
			xs[k], ys[k] = math.NaN(), math.NaN()
		}
	}
	return nil
}

// halfError is how far, at most, the net of every second node lies from the
// nodes between; NaN where any node failed.
func (t net) halfError() float64 {
	side, worst := t.n+1, 0.0
	for v := 0; v <= t.n; v++ {
		for u := 0; u <= t.n; u++ {
			if u%2 == 0 && v%2 == 0 {
				continue
			}
			// The four even nodes around, doubled up along a straight side.
			a, b := (v-v%2)*side+u-u%2, (v-v%2)*side+u+u%2
			c, d := (v+v%2)*side+u-u%2, (v+v%2)*side+u+u%2
			k := v*side + u
			ex := math.Abs((t.xs[a]+t.xs[b]+t.xs[c]+t.xs[d])/4 - t.xs[k])
			ey := math.Abs((t.ys[a]+t.ys[b]+t.ys[c]+t.ys[d])/4 - t.ys[k])
			worst = max(worst, ex, ey) // max keeps NaN, and every even node is used
		}
	}
	return worst
}

// fill interpolates the points that lie at a fraction of the cells of w, a
// piece of the net's chunk, into rows that lie stride apart.
func (m *Mapper) fill(t net, w Window, at float64, stride int, xs, ys []float64) error {
	if t.n == 0 {
		return m.fillExact(w, at, stride, xs, ys)
	}
	step := chunkCells / t.n
	perCell := 1 / float64(step)
	u0, v0 := w.Col-chunkOf(w.Col)*chunkCells, w.Row-chunkOf(w.Row)*chunkCells
	for r := range w.Rows {
		m.nodeRow(t, (float64(v0+r)+at)*perCell)
		x, y := xs[r*stride:r*stride+w.Cols], ys[r*stride:r*stride+w.Cols]
		for c := 0; c < len(x); {
			i := min((u0+c)/step, t.n-1)
			end := min((i+1)*step-u0, len(x))
			if i == t.n-1 {
				end = len(x)
			}
			x0, dx := m.left[i], m.left[i+1]-m.left[i]
			y0, dy := m.right[i], m.right[i+1]-m.right[i]
			for ; c < end; c++ {
				s := (float64(u0+c-i*step) + at) * perCell
				x[c] = x0 + float64(dx*s)
				y[c] = y0 + float64(dy*s)
			}
		}
	}
	return nil
}

// nodeRow interpolates a row of nodes at the height v, in nodes: x into left, y
// into right.
func (m *Mapper) nodeRow(t net, v float64) {
	side := t.n + 1
	j := min(int(v), t.n-1)
	f := v - float64(j)
	m.left, m.right = m.left[:0], m.right[:0]
	for a, b := j*side, (j+1)*side; a < (j+1)*side; a, b = a+1, b+1 {
		m.left = append(m.left, t.xs[a]+float64((t.xs[b]-t.xs[a])*f))
		m.right = append(m.right, t.ys[a]+float64((t.ys[b]-t.ys[a])*f))
	}
}

func (m *Mapper) fillExact(w Window, at float64, stride int, xs, ys []float64) error {
	for r := range w.Rows {
		x, y := xs[r*stride:r*stride+w.Cols], ys[r*stride:r*stride+w.Cols]
		for c := range x {
			x[c], y[c] = m.targetPoint(float64(w.Col+c)+at, float64(w.Row+r)+at)
		}
		if err := m.exact(x, y); err != nil {
			return err
		}
	}
	return nil
}
