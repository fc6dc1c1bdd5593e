package layers

import "math"

// pixelBox is a cell's footprint in the source: the axis-aligned rectangle around
// its four mapped corners, in source pixels. Within one CRS that is the cell.
type pixelBox struct{ left, top, right, bottom float64 }

func (b pixelBox) known() bool { return b.left < b.right && b.top < b.bottom }

// areaStrip resamples by footprint, so much of the strip at a time that the
// source fits the limit; a single cell's footprint is read in bands.
func (r *resampler) areaStrip(w Window, b Block) error {
	boxes, err := r.footprints(w)
	if err != nil {
		return err
	}
	need := boxesWindow(boxes).Intersect(r.extent)
	if need.Empty() {
		return nil
	}
	if need.Cells() > r.limit && w.Cells() > 1 {
		first, second := halfWindows(w)
		if err := r.areaStrip(first, b.Part(first)); err != nil {
			return err
		}
		return r.areaStrip(second, b.Part(second))
	}
	if need.Cells() > r.limit {
		return r.areaBands(boxes[0], need, w, b)
	}
	src, err := r.read(need, b)
	if err != nil {
		return err
	}
	for k, f := range boxes {
		col, row := w.Col+k%w.Cols, w.Row+k/w.Cols
		if !f.known() {
			continue
		}
		if b.IsCodes() {
			r.addClasses(src, f)
			b.CodeRow(row)[col-w.Col] = r.majority()
			continue
		}
		var m areaMean
		m.add(src, f)
		b.ValueRow(row)[col-w.Col] = m.value()
	}
	return r.strayInBoxes(src, boxes, w)
}

// areaBands reads the footprint of a single cell band by band.
func (r *resampler) areaBands(f pixelBox, need, w Window, b Block) error {
	var m areaMean
	band := need
	for band.Row < need.Bottom() {
		band.Rows = min(max(1, r.limit/need.Cols), need.Bottom()-band.Row)
		src, err := r.read(band, b)
		if err != nil {
			return err
		}
		if b.IsCodes() {
			r.addClasses(src, f)
		} else {
			m.add(src, f)
		}
		if err := r.strayInBoxes(src, []pixelBox{f}, w); err != nil {
			clear(r.sums[:])
			return err
		}
		band.Row += band.Rows
	}
	if b.IsCodes() {
		b.CodeRow(w.Row)[0] = r.majority()
	} else {
		b.ValueRow(w.Row)[0] = m.value()
	}
	return nil
}

// footprints maps the cells of a strip; a cell with a corner that cannot be
// mapped has none.
func (r *resampler) footprints(w Window) ([]pixelBox, error) {
	boxes := scratchOf(&r.boxes, w.Cells())
	if r.mapper.separable() {
		xs, ys := scratchOf(&r.xs, w.Cols+1), scratchOf(&r.ys, w.Rows+1)
		r.mapper.axes(w, 0, xs, ys)
		for k := range boxes {
			i, j := k%w.Cols, k/w.Cols
			boxes[k] = pixelBox{min(xs[i], xs[i+1]), min(ys[j], ys[j+1]), max(xs[i], xs[i+1]), max(ys[j], ys[j+1])}
		}
		return boxes, nil
	}
	for piece := range chunks(w, true) {
		if err := r.footprintsIn(piece, w, boxes); err != nil {
			return nil, err
		}
	}
	return boxes, nil
}

// footprintsIn maps a piece of one chunk by the chunk's own corners.
func (r *resampler) footprintsIn(piece, w Window, boxes []pixelBox) error {
	corners := Window{Col: piece.Col, Row: piece.Row, Cols: piece.Cols + 1, Rows: piece.Rows + 1}
	side := corners.Cols
	xs, ys := scratchOf(&r.xs, corners.Cells()), scratchOf(&r.ys, corners.Cells())
	if err := r.mapper.corners(corners, xs, ys); err != nil {
		return err
	}
	for j := range piece.Rows {
		out := boxes[(piece.Row+j-w.Row)*w.Cols+piece.Col-w.Col:]
		for i := range piece.Cols {
			a, c := j*side+i, (j+1)*side+i
			out[i] = pixelBox{
				min(xs[a], xs[a+1], xs[c], xs[c+1]), min(ys[a], ys[a+1], ys[c], ys[c+1]),
				max(xs[a], xs[a+1], xs[c], xs[c+1]), max(ys[a], ys[a+1], ys[c], ys[c+1]),
			}
		}
	}
	return nil
}

// boxesWindow is the window of source cells under all the boxes.
func boxesWindow(boxes []pixelBox) Window {
	all := pixelBox{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, f := range boxes {
		if f.known() {
			all = pixelBox{min(all.left, f.left), min(all.top, f.top), max(all.right, f.right), max(all.bottom, f.bottom)}
		}
	}
	return sourceWindow(all.left, all.top, all.right, all.bottom)
}

// spanCells is the source cells from first to before end that a side of a box
// covers, cut to low and high.
func spanCells(from, to float64, low, high int) (first, end int) {
	return max(clampCell(math.Floor(from)), low), min(clampCell(math.Ceil(to)), high)
}

// cellOverlap is how much of source cell k lies between from and to, 0 to 1.
func cellOverlap(k int, from, to float64) float64 {
	return min(to, float64(k+1)) - max(from, float64(k))
}

// areaMean is a sum over area; cells are added row by row from the top, each row
// from the left, so that the same cell always sums in the same order.
type areaMean struct{ sum, weight float64 }

func (m *areaMean) add(src sourceCells, f pixelBox) {
	have := src.window
	left, right := spanCells(f.left, f.right, have.Col, have.Right())
	top, bottom := spanCells(f.top, f.bottom, have.Row, have.Bottom())
	if left >= right {
		return
	}
	first, last := cellOverlap(left, f.left, f.right), cellOverlap(right-1, f.left, f.right)
	for j := top; j < bottom; j++ {
		at := (j-have.Row)*have.Cols - have.Col
		row := src.values[at+left : at+right]
		var line areaMean
		line.one(row[0], first)
		if len(row) > 1 {
			for _, v := range row[1 : len(row)-1] {
				if v == v {
					line.sum += float64(v)
					line.weight++
				}
			}
			line.one(row[len(row)-1], last)
		}
		wy := cellOverlap(j, f.top, f.bottom)
		m.sum += float64(line.sum * wy)
		m.weight += float64(line.weight * wy)
	}
}

func (m *areaMean) one(v float32, weight float64) {
	if v == v {
		m.sum += float64(float64(v) * weight)
		m.weight += weight
	}
}

// value is unknown where no known source cell lies under the box.
func (m *areaMean) value() float32 {
	if m.weight <= 0 {
		return float32(math.NaN())
	}
	return float32(m.sum / m.weight)
}

// addClasses adds the area of every class under a box to the sums.
func (r *resampler) addClasses(src sourceCells, f pixelBox) {
	have := src.window
	left, right := spanCells(f.left, f.right, have.Col, have.Right())
	top, bottom := spanCells(f.top, f.bottom, have.Row, have.Bottom())
	if left >= right {
		return
	}
	first, last := cellOverlap(left, f.left, f.right), cellOverlap(right-1, f.left, f.right)
	for j := top; j < bottom; j++ {
		at := (j-have.Row)*have.Cols - have.Col
		row, wy := src.codes[at+left:at+right], cellOverlap(j, f.top, f.bottom)
		r.sums[row[0]] += float64(first * wy)
		if len(row) > 1 {
			for _, code := range row[1 : len(row)-1] {
				r.sums[code] += wy
			}
			r.sums[row[len(row)-1]] += float64(last * wy)
		}
	}
}

// majority is the class with the greatest sum, and clears the sums. Unknown
// source cells are left out. Sums within a billionth are a tie, which goes to
// the lower code: the last bit of a sum of areas decides nothing.
func (r *resampler) majority() uint8 {
	greatest, winner := 0.0, NoClass
	for code, sum := range r.sums[:r.count] {
		if sum > greatest*(1+1e-9) {
			greatest, winner = sum, uint8(code)
		}
	}
	clear(r.sums[:r.count])
	r.sums[NoClass] = 0
	return winner
}
