package life

import "math"

// raster is a number per cell, row by row from the north-west.
type raster struct {
	cols, rows int
	at         []float32
}

func newRaster(cols, rows int) raster {
	return raster{cols: cols, rows: rows, at: make([]float32, cols*rows)}
}

// passes is how often a running mean is repeated to come close to a Gaussian.
const passes = 3

// blurred smooths with a kernel close to a Gaussian of sigma cells: three
// running means whose widths have its variance, Σ(w² − 1)/12 = σ² (Kovesi 2010,
// Fast almost-Gaussian filtering). Beyond the edge there is nothing: a mean is
// over the cells that are there.
func (r raster) blurred(sigma float64) raster {
	out, scratch := newRaster(r.cols, r.rows), newRaster(r.cols, r.rows)
	copy(out.at, r.at)
	for _, half := range halfWidths(sigma) {
		if half > 0 {
			scratch.meanAlong(out, half)
			out.meanAcross(scratch, half)
		}
	}
	return out
}

// halfWidths are the half widths of the running means for a sigma.
func halfWidths(sigma float64) [passes]int {
	ideal := math.Sqrt(12*sigma*sigma/passes + 1)
	low := int(math.Floor((ideal - 1) / 2)) // half of the odd width below
	w := float64(2*low + 1)
	narrow := int(math.Round((12*sigma*sigma - passes*w*w - 4*passes*w - 3*passes) / (-4*w - 4)))
	var out [passes]int
	for i := range out {
		if out[i] = low; i >= narrow {
			out[i] = low + 1
		}
	}
	return out
}

// meanAlong takes the mean of 2·half + 1 cells along each row.
func (r raster) meanAlong(src raster, half int) {
	sums := make([]float64, r.cols+1)
	for row := range r.rows {
		line, to := src.at[row*r.cols:(row+1)*r.cols], r.at[row*r.cols:(row+1)*r.cols]
		for c, v := range line {
			sums[c+1] = sums[c] + float64(v)
		}
		for c := range to {
			from, until := max(c-half, 0), min(c+half+1, r.cols)
			to[c] = float32((sums[until] - sums[from]) / float64(until-from))
		}
	}
}

// meanAcross takes the mean of 2·half + 1 cells along each column.
func (r raster) meanAcross(src raster, half int) {
	sums := make([]float64, r.cols)
	add := func(row int, sign float64) {
		if row < 0 || row >= r.rows {
			return
		}
		for c, v := range src.at[row*r.cols : (row+1)*r.cols] {
			sums[c] += sign * float64(v)
		}
	}
	for row := range half {
		add(row, 1)
	}
	for row := range r.rows {
		add(row+half, 1)
		add(row-half-1, -1)
		n := float64(min(row+half+1, r.rows) - max(row-half, 0))
		to := r.at[row*r.cols : (row+1)*r.cols]
		for c := range to {
			to[c] = float32(sums[c] / n)
		}
	}
}

// part copies a window out of a raster.
func (r raster) part(col, row, cols, rows int) raster {
	out := newRaster(cols, rows)
	for i := range rows {
		at := (row+i)*r.cols + col
		copy(out.at[i*cols:(i+1)*cols], r.at[at:at+cols])
	}
	return out
}
