package layers

// A discSummer adds whole numbers within the disc around every cell, from
// running sums along the rows. Whole numbers need no order, and a running sum
// that wraps around still gives the right difference; only the sum over one
// disc must fit 63 bits.
type discSummer struct {
	window Window
	stride int
	rows   []int64
	filled []bool
}

// newDiscSummer runs through the numbers once, row by row.
func newDiscSummer(w Window, number func(row int, cells []int64)) *discSummer {
	d := &discSummer{window: w, stride: w.Cols + 1, filled: make([]bool, w.Rows)}
	d.rows = make([]int64, d.stride*w.Rows)
	for i := range w.Rows {
		row := d.rows[i*d.stride : (i+1)*d.stride]
		number(w.Row+i, row[1:])
		sum, any := int64(0), int64(0)
		for j, v := range row {
			any |= v
			sum += v
			row[j] = sum
		}
		d.filled[i] = any != 0
	}
	return d
}

// row adds along the cells of one row, from its first column; the sums are
// laid into to.
func (d *discSummer) row(row, col int, chords []chord, to []int64) {
	clear(to)
	var hi, lo []int64 // a chord that waits for a second one
	for _, c := range chords {
		at := row + c.dy - d.window.Row
		if !d.filled[at] {
			continue
		}
		prefix := d.rows[at*d.stride : (at+1)*d.stride]
		end, start := prefix[col+c.hi+1-d.window.Col:], prefix[col+c.lo-d.window.Col:]
		if hi == nil {
			hi, lo = end, start
			continue
		}
		addTwoRuns(to, hi, lo, end, start)
		hi, lo = nil, nil
	}
	if hi == nil {
		return
	}
	hi, lo = hi[:len(to)], lo[:len(to)]
	for i := range to {
		to[i] += hi[i] - lo[i]
	}
}

// addTwoRuns adds what lies between the running sums of two chords.
func addTwoRuns(to, hi, lo, hi2, lo2 []int64) {
	hi, lo, hi2, lo2 = hi[:len(to)], lo[:len(to)], hi2[:len(to)], lo2[:len(to)]
	for i := range to {
		to[i] += hi[i] - lo[i] + hi2[i] - lo2[i]
	}
}
