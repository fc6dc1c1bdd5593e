package layers

import "math"

// nearest gives each cell of w the source cell that holds its centre; a centre
// on an edge belongs to the source cell with the greater column or row.
func nearest[T uint8 | float32](src []T, have Window, p places, w Window, dst func(row int) []T) {
	if p.apart {
		nearestApart(src, have, p, w, dst)
		return
	}
	for r := range w.Rows {
		xs, ys := p.row(r, w.Cols)
		out := dst(w.Row + r)
		for c := range out {
			col, row := int(math.Floor(xs[c]))-have.Col, int(math.Floor(ys[c]))-have.Row
			if uint(col) < uint(have.Cols) && uint(row) < uint(have.Rows) {
				out[c] = src[row*have.Cols+col]
			}
		}
	}
}

// nearestApart works by whole rows: one look-up of the row, then either one
// copy, where the columns follow each other, or one gather.
func nearestApart[T uint8 | float32](src []T, have Window, p places, w Window, dst func(row int) []T) {
	cols, run := sourceColumns(p.xs, have)
	for r := range w.Rows {
		row := int(math.Floor(p.ys[r])) - have.Row
		if uint(row) >= uint(have.Rows) {
			continue
		}
		from, out := src[row*have.Cols:(row+1)*have.Cols], dst(w.Row+r)
		if run {
			copy(out, from[cols[0]:])
			continue
		}
		for c, col := range cols {
			if col >= 0 {
				out[c] = from[col]
			}
		}
	}
}

// sourceColumns are the columns, −1 outside, and whether they are a run of
// neighbours that all lie inside.
func sourceColumns(xs []float64, have Window) (cols []int32, run bool) {
	cols, run = make([]int32, len(xs)), len(xs) > 0
	for c, x := range xs {
		col := int(math.Floor(x)) - have.Col
		if uint(col) >= uint(have.Cols) {
			col = -1
		}
		cols[c] = int32(col)
		run = run && col >= 0 && col == int(cols[0])+c
	}
	return cols, run
}

// bilinear interpolates between the four source centres around each cell's
// centre. Unknown neighbours are left out and the weights of the others scaled
// up; the cell is unknown where the source cell that holds its centre is.
func bilinear(src sourceCells, p places, w Window, b Block) {
	have := src.window
	at := func(col, row int) float32 {
		if uint(col-have.Col) < uint(have.Cols) && uint(row-have.Row) < uint(have.Rows) {
			return src.values[(row-have.Row)*have.Cols+col-have.Col]
		}
		return float32(math.NaN())
	}
	for r := range w.Rows {
		xs, ys := p.row(r, w.Cols)
		out := b.ValueRow(w.Row + r)
		for c := range out {
			x, y := xs[c], ys[min(c, len(ys)-1)]
			if x != x {
				continue
			}
			left, top := math.Floor(x-0.5), math.Floor(y-0.5)
			fx, fy := x-0.5-left, y-0.5-top
			col, row := int(left), int(top)
			if i, j := col-have.Col, row-have.Row; uint(i) < uint(have.Cols-1) && uint(j) < uint(have.Rows-1) {
				k := j*have.Cols + i
				v00, v10 := float64(src.values[k]), float64(src.values[k+1])
				v01, v11 := float64(src.values[k+have.Cols]), float64(src.values[k+have.Cols+1])
				upper, lower := v00+float64((v10-v00)*fx), v01+float64((v11-v01)*fx)
				if v := upper + float64((lower-upper)*fy); v == v {
					out[c] = float32(v)
					continue
				}
			}
			if centre := at(int(math.Floor(x)), int(math.Floor(y))); centre == centre {
				out[c] = renormalised(at, col, row, fx, fy)
			}
		}
	}
}

// renormalised is the mean of the known ones of four neighbours, by weight.
func renormalised(at func(col, row int) float32, col, row int, fx, fy float64) float32 {
	sum, weight := 0.0, 0.0
	for k := range 4 {
		i, j := k%2, k/2
		wx, wy := fx, fy
		if i == 0 {
			wx = 1 - fx
		}
		if j == 0 {
			wy = 1 - fy
		}
		v := float64(at(col+i, row+j))
		if known := v == v; known && wx*wy > 0 {
			sum += float64(wx * wy * v)
			weight += float64(wx * wy)
		}
	}
	return float32(sum / weight)
}
