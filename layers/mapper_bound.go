package layers

import "math"

// Bound is a window of the source that the centres of all cells of w lie in,
// close around them; ok is false where a piece of w has no net, and so no bound.
// A point of a net lies between its nodes, so the nodes bound it.
func (m *Mapper) Bound(w Window) (bound Window, ok bool, err error) {
	if m.points == nil {
		return m.straightBound(w), true, nil
	}
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for piece := range chunks(w, true) {
		t, err := m.net(chunkOf(piece.Col), chunkOf(piece.Row))
		if err != nil || t.n == 0 {
			return Window{}, false, err
		}
		for k := range t.xs {
			low[0], high[0] = min(low[0], t.xs[k]), max(high[0], t.xs[k])
			low[1], high[1] = min(low[1], t.ys[k]), max(high[1], t.ys[k])
		}
	}
	return windowAround(low, high), true, nil
}

// straightBound takes the corners of w: between two lattices of one CRS the map
// is affine.
func (m *Mapper) straightBound(w Window) Window {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, col := range []int{w.Col, w.Right()} {
		for _, row := range []int{w.Row, w.Bottom()} {
			x, y := m.sourcePixel(m.targetPoint(float64(col), float64(row)))
			low[0], high[0] = min(low[0], x), max(high[0], x)
			low[1], high[1] = min(low[1], y), max(high[1], y)
		}
	}
	return windowAround(low, high)
}

// windowAround has room for the last bit that interpolation may add.
func windowAround(low, high [2]float64) Window {
	const room = 1e-6
	col, row := int(math.Floor(low[0]-room)), int(math.Floor(low[1]-room))
	return Window{Col: col, Row: row, Cols: int(math.Floor(high[0]+room)) - col + 1, Rows: int(math.Floor(high[1]+room)) - row + 1}
}

// keptNets is how many nets a mapper remembers: those of a tile of 512 cells.
const keptNets = 64

// net is the coarsest net over a chunk that is good enough. The last few are
// kept, for a window is often bounded first and then mapped.
func (m *Mapper) net(i, j int) (net, error) {
	key := [2]int{i, j}
	if t, known := m.kept[key]; known {
		return t, nil
	}
	t, err := m.lay(i, j)
	if err != nil {
		return net{}, err
	}
	if m.kept == nil || len(m.kept) == keptNets {
		m.kept = make(map[[2]int]net, keptNets)
	}
	m.kept[key] = t
	return t, nil
}
