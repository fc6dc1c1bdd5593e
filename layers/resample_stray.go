package layers

// A source cell whose class nobody named is an error where it lies under a cell
// that was asked for, and only there: what a read happens to take in beyond
// that must not decide whether a window can be read.

// strayInCopy looks through a window that was copied shifted by (col, row).
func (r *resampler) strayInCopy(src sourceCells, col, row int) error {
	if src.stray == nil {
		return nil
	}
	for k := range src.window.Cells() {
		if value, is := src.stray(k); is {
			return r.stray(value, src.window.Col+k%src.window.Cols-col, src.window.Row+k/src.window.Cols-row)
		}
	}
	return nil
}

// strayNearest looks at the source cell of every cell of w.
func (r *resampler) strayNearest(src sourceCells, p places, w Window) error {
	if src.stray == nil {
		return nil
	}
	for k := range w.Cells() {
		xs, ys := p.row(k/w.Cols, w.Cols)
		x, y := xs[k%w.Cols], ys[min(k%w.Cols, len(ys)-1)]
		at := pixelBox{x, y, x, y}
		if err := r.strayUnder(src, at, w.Col+k%w.Cols, w.Row+k/w.Cols); err != nil {
			return err
		}
	}
	return nil
}

// strayInBoxes looks at the footprint of every cell of w.
func (r *resampler) strayInBoxes(src sourceCells, boxes []pixelBox, w Window) error {
	if src.stray == nil {
		return nil
	}
	for k, f := range boxes {
		if !f.known() {
			continue
		}
		if err := r.strayUnder(src, f, w.Col+k%w.Cols, w.Row+k/w.Cols); err != nil {
			return err
		}
	}
	return nil
}

// strayUnder looks at the source cells under a box, or at the one that holds a
// box of no size.
func (r *resampler) strayUnder(src sourceCells, f pixelBox, col, row int) error {
	under := sourceWindow(f.left, f.top, f.right, f.bottom).Intersect(src.window)
	for j := under.Row; j < under.Bottom(); j++ {
		for i := under.Col; i < under.Right(); i++ {
			if f.known() && (float64(i) >= f.right || float64(j) >= f.bottom) {
				continue
			}
			if value, is := src.stray((j-src.window.Row)*src.window.Cols + i - src.window.Col); is {
				return r.stray(value, col, row)
			}
		}
	}
	return nil
}
