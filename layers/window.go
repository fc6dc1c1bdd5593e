package layers

// Window is a rectangle of cells of a grid. It may stick out of the grid:
// measures look beyond the area's rim.
type Window struct {
	Col, Row   int // first column and row
	Cols, Rows int // size
}

// Grow widens a window by n cells on every side.
func (w Window) Grow(n int) Window {
	return Window{Col: w.Col - n, Row: w.Row - n, Cols: w.Cols + 2*n, Rows: w.Rows + 2*n}
}

// Intersect is the part that two windows share; it may be empty.
func (w Window) Intersect(o Window) Window {
	col, row := max(w.Col, o.Col), max(w.Row, o.Row)
	right := min(w.Col+w.Cols, o.Col+o.Cols)
	bottom := min(w.Row+w.Rows, o.Row+o.Rows)
	return Window{Col: col, Row: row, Cols: max(right-col, 0), Rows: max(bottom-row, 0)}
}

// Union is the smallest window that holds both.
func (w Window) Union(o Window) Window {
	if w.Empty() {
		return o
	}
	if o.Empty() {
		return w
	}
	col, row := min(w.Col, o.Col), min(w.Row, o.Row)
	right := max(w.Col+w.Cols, o.Col+o.Cols)
	bottom := max(w.Row+w.Rows, o.Row+o.Rows)
	return Window{Col: col, Row: row, Cols: right - col, Rows: bottom - row}
}

// Contains tells whether o lies wholly inside w.
func (w Window) Contains(o Window) bool {
	return o.Col >= w.Col && o.Row >= w.Row &&
		o.Col+o.Cols <= w.Col+w.Cols && o.Row+o.Rows <= w.Row+w.Rows
}

// Has tells whether a cell lies inside w.
func (w Window) Has(col, row int) bool {
	return col >= w.Col && col < w.Col+w.Cols && row >= w.Row && row < w.Row+w.Rows
}

// Empty tells whether a window holds no cell.
func (w Window) Empty() bool { return w.Cols <= 0 || w.Rows <= 0 }

// Cells is how many cells a window holds.
func (w Window) Cells() int {
	if w.Empty() {
		return 0
	}
	return w.Cols * w.Rows
}

// Right and Bottom are the first column and row beyond the window.
func (w Window) Right() int  { return w.Col + w.Cols }
func (w Window) Bottom() int { return w.Row + w.Rows }
