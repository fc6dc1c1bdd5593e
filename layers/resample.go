package layers

import "math"

// sourceCells is a window of a source raster, cut to the raster: numbers, NaN where
// unknown, or class codes, NoClass where unknown.
type sourceCells struct {
	window Window
	values []float32
	codes  []uint8
	// stray is the number of a source cell whose class nobody named; nil where
	// the window holds none.
	stray func(index int) (value int, is bool)
}

// sourceReader reads a window that lies inside the raster. The cells are good
// until the next read.
type sourceReader interface {
	readValues(w Window) (sourceCells, error)
	readCodes(w Window) (sourceCells, error)
}

// resampler brings one raster to a grid. It serves one goroutine.
type resampler struct {
	mapper *Mapper
	source sourceReader
	extent Window // the whole raster
	how    Resample
	count  int // of classes
	limit  int // the most source cells read at once
	// stray makes the error of a source cell whose class nobody named, under
	// the grid's cell (col, row).
	stray func(value, col, row int) error

	xs, ys []float64               // scratch
	boxes  []pixelBox              // scratch
	sums   [MaxClasses + 1]float64 // area by class, all 0 between cells
}

// sourceLimit keeps a read near 16 MB whatever the ratio of the cell sizes.
const sourceLimit = 1 << 22

// stripCells is how many columns of target cells are mapped at once; a strip is
// one chunk high.
const stripCells = 16 * chunkCells

// run fills a block of unknown cells.
func (r *resampler) run(w Window, b Block) error {
	if col, row, ok := r.aligned(); ok {
		return r.copyCells(w, b, col, row)
	}
	for top := w.Row; top < w.Bottom(); {
		bottom := min((chunkOf(top)+1)*chunkCells, w.Bottom())
		for left := w.Col; left < w.Right(); {
			right := min((chunkOf(left)*chunkCells)+stripCells, w.Right())
			strip := Window{Col: left, Row: top, Cols: right - left, Rows: bottom - top}
			if err := r.strip(strip, b.Part(strip)); err != nil {
				return err
			}
			left = right
		}
		top = bottom
	}
	return nil
}

// aligned tells whether the target's cells are the source's own, shifted by
// whole cells: then every way to resample is a copy.
func (r *resampler) aligned() (col, row int, ok bool) {
	if !r.mapper.separable() {
		return 0, 0, false
	}
	t, s := r.mapper.target, r.mapper.source
	if math.Abs(t[1]/s[1]-1) > 1e-12 || math.Abs(t[5]/s[5]-1) > 1e-12 {
		return 0, 0, false
	}
	var x, y [1]float64
	r.mapper.axes(Window{}, 0, x[:], y[:])
	if x[0] != math.Trunc(x[0]) || y[0] != math.Trunc(y[0]) || math.Abs(x[0]) > maxCells || math.Abs(y[0]) > maxCells {
		return 0, 0, false
	}
	return int(x[0]), int(y[0]), true
}

// copyCells copies a window whose cells are source cells, shifted by (col, row).
func (r *resampler) copyCells(w Window, b Block, col, row int) error {
	shifted := Window{Col: w.Col + col, Row: w.Row + row, Cols: w.Cols, Rows: w.Rows}
	known := shifted.Intersect(r.extent)
	for !known.Empty() {
		part := known
		part.Rows = min(part.Rows, max(1, r.limit/part.Cols))
		src, err := r.read(part, b)
		if err != nil {
			return err
		}
		for y := part.Row; y < part.Bottom(); y++ {
			from, at := (y-part.Row)*part.Cols, part.Col-shifted.Col
			if b.IsCodes() {
				copy(b.CodeRow(y - row)[at:], src.codes[from:from+part.Cols])
			} else {
				copy(b.ValueRow(y - row)[at:], src.values[from:from+part.Cols])
			}
		}
		if err := r.strayInCopy(src, col, row); err != nil {
			return err
		}
		known.Row, known.Rows = part.Bottom(), known.Rows-part.Rows
	}
	return nil
}

func (r *resampler) read(w Window, b Block) (sourceCells, error) {
	if b.IsCodes() {
		return r.source.readCodes(w)
	}
	return r.source.readValues(w)
}

// strip resamples one strip; where that takes more source cells than the limit,
// half of it at a time.
func (r *resampler) strip(w Window, b Block) error {
	if r.how == Average || r.how == Majority {
		return r.areaStrip(w, b)
	}
	p, err := r.places(w)
	if err != nil {
		return err
	}
	need := p.source(w, r.how == Bilinear).Intersect(r.extent)
	if need.Empty() {
		return nil
	}
	if need.Cells() > r.limit && w.Cells() > 1 {
		first, second := halfWindows(w)
		if err := r.strip(first, b.Part(first)); err != nil {
			return err
		}
		return r.strip(second, b.Part(second))
	}
	src, err := r.read(need, b)
	if err != nil {
		return err
	}
	switch {
	case b.IsCodes():
		nearest(src.codes, src.window, p, w, b.CodeRow)
		return r.strayNearest(src, p, w)
	case r.how == Bilinear:
		bilinear(src, p, w, b)
	default:
		nearest(src.values, src.window, p, w, b.ValueRow)
	}
	return nil
}

// halfWindows cuts a window across its longer side.
func halfWindows(w Window) (first, second Window) {
	first, second = w, w
	if w.Cols > w.Rows {
		first.Cols = w.Cols / 2
		second.Col, second.Cols = w.Col+first.Cols, w.Cols-first.Cols
	} else {
		first.Rows = w.Rows / 2
		second.Row, second.Rows = w.Row+first.Rows, w.Rows-first.Rows
	}
	return first, second
}
