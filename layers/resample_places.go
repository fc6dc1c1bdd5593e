package layers

import "math"

// places are the source pixel coordinates of the centres of a window's cells.
// Where columns and rows are independent xs is one row and ys one column.
type places struct {
	xs, ys []float64
	apart  bool // one row of xs, one column of ys
}

// places maps the centres of a window.
func (r *resampler) places(w Window) (places, error) {
	if r.mapper.separable() {
		p := places{xs: scratchOf(&r.xs, w.Cols), ys: scratchOf(&r.ys, w.Rows), apart: true}
		r.mapper.axes(w, 0.5, p.xs, p.ys)
		return p, nil
	}
	p := places{xs: scratchOf(&r.xs, w.Cells()), ys: scratchOf(&r.ys, w.Cells())}
	return p, r.mapper.Map(w, p.xs, p.ys)
}

// scratchOf is a scratch slice of n elements with anything in them.
func scratchOf[T any](scratch *[]T, n int) []T {
	if cap(*scratch) < n {
		*scratch = make([]T, n)
	}
	return (*scratch)[:n]
}

// row is where the cells of the r-th row of a window of that width lie. Where
// columns and rows are independent ys is one element for the whole row.
func (p places) row(r, cols int) (xs, ys []float64) {
	if p.apart {
		return p.xs, p.ys[r : r+1]
	}
	return p.xs[r*cols : (r+1)*cols], p.ys[r*cols : (r+1)*cols]
}

// source is the smallest window of source cells that holds every place, with
// the neighbours that bilinear needs.
func (p places) source(w Window, neighbours bool) Window {
	pad := 0.0
	if neighbours {
		pad = 0.5
	}
	left, right := finiteRange(p.xs)
	top, bottom := finiteRange(p.ys)
	return sourceWindow(left-pad, top-pad, right+pad, bottom+pad)
}

// finiteRange is the least and the greatest number; NaN is passed over.
func finiteRange(list []float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, v := range list {
		if v < low {
			low = v
		}
		if v > high {
			high = v
		}
	}
	return low, high
}

// sourceWindow is the window of cells that hold the points of a closed
// rectangle; empty where the rectangle is.
func sourceWindow(left, top, right, bottom float64) Window {
	if !(left <= right && top <= bottom) {
		return Window{}
	}
	col, row := clampCell(math.Floor(left)), clampCell(math.Floor(top))
	return Window{Col: col, Row: row, Cols: clampCell(math.Floor(right)) - col + 1, Rows: clampCell(math.Floor(bottom)) - row + 1}
}

// clampCell keeps a cell number far from overflow.
func clampCell(v float64) int {
	return int(min(max(v, -2*maxCells), 2*maxCells))
}
