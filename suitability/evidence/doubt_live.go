package evidence

import (
	"tussock/layers"
	"tussock/suitability"
)

// liveCells are the cells of a window whose suitability depends on the profile:
// shown by the public range rule, assessed, and not excluded. Cells come square
// by square where the map is averaged, else row by row.
type liveCells struct {
	measured []layers.Block
	side     int           // of a square, cells
	at       []liveCell    // of every live cell
	squares  []shownSquare // none where side is 1
	window   layers.Window // whole squares
}

type liveCell struct{ col, row int }

// shownSquare is a square of cells that the map shows as one.
type shownSquare struct {
	col, row int // of its north-west cell
	end      int // of its live cells
	known    int // cells with a suitability
}

// findLive takes a species' measures over a window, widened to whole squares, and
// finds its live cells. A square of which the map shows nothing is left out.
func findLive(plan *suitability.Plan, s suitability.Subject, w layers.Window, side int) (*liveCells, error) {
	l := &liveCells{side: side, window: wholeSquares(w, side)}
	var err error
	if l.measured, err = plan.Measured(s, l.window); err != nil {
		return nil, err
	}
	states, err := l.states(s)
	if err != nil {
		return nil, err
	}
	if side == 1 {
		l.take(states, l.window)
		return l, nil
	}
	for row := l.window.Row; row < l.window.Bottom(); row += side {
		for col := l.window.Col; col < l.window.Right(); col += side {
			before := len(l.at)
			known := l.take(states, layers.Window{Col: col, Row: row, Cols: side, Rows: side})
			if len(l.at) == before || 2*known < side*side {
				l.at = l.at[:before]
				continue
			}
			l.squares = append(l.squares, shownSquare{col, row, len(l.at), known})
		}
	}
	return l, nil
}

// wholeSquares widens a window to whole squares, counted from the grid's
// north-west corner.
func wholeSquares(w layers.Window, side int) layers.Window {
	up := func(n int) int { return (n + side - 1) / side * side }
	col, row := w.Col/side*side, w.Row/side*side
	return layers.Window{Col: col, Row: row, Cols: up(w.Right()) - col, Rows: up(w.Bottom()) - row}
}

// What a cell is to the doubt about a map.
const (
	cellUnknown uint8 = iota
	cellFixed         // its suitability is 0 whatever the profile says
	cellLive
)

// states tells live, fixed and unknown cells apart.
func (l *liveCells) states(s suitability.Subject) ([]uint8, error) {
	e, err := suitability.NewEvaluator(s.Profile)
	if err != nil {
		return nil, err
	}
	w := l.window
	states, documented := make([]uint8, w.Cells()), s.Range.Block(w)
	rows, S, excluded := make([]suitability.Row, len(l.measured)), make([]float32, w.Cols), make([]uint8, w.Cols)
	for row := w.Row; row < w.Bottom(); row++ {
		for i, b := range l.measured {
			rows[i] = suitability.RowOf(b, row)
		}
		if err := e.Row(rows, S, excluded); err != nil {
			return nil, err
		}
		line := states[(row-w.Row)*w.Cols:]
		for i, at := range documented.CodeRow(row) {
			line[i] = stateOf(suitability.PublicFactor(suitability.Standing(at), s.Profile.ShowHistoric), S[i], excluded[i] != 0)
		}
	}
	return states, nil
}

// stateOf knows that the public factor is 1, 0, or nothing.
func stateOf(factor float64, S float32, excluded bool) uint8 {
	switch {
	case factor == 0, factor == factor && excluded:
		return cellFixed
	case factor == factor && S == S:
		return cellLive
	}
	return cellUnknown
}

// take adds a window's live cells, and counts those that are known.
func (l *liveCells) take(states []uint8, w layers.Window) (known int) {
	for row := w.Row; row < w.Bottom(); row++ {
		for col := w.Col; col < w.Right(); col++ {
			switch states[(row-l.window.Row)*l.window.Cols+col-l.window.Col] {
			case cellLive:
				l.at = append(l.at, liveCell{col, row})
				known++
			case cellFixed:
				known++
			}
		}
	}
	return known
}

// count is the number of units: cells, or squares.
func (l *liveCells) count() int {
	if l.side == 1 {
		return len(l.at)
	}
	return len(l.squares)
}

// area is where a unit lies in a window.
func (l *liveCells) area(unit int, w layers.Window) layers.Window {
	if l.side == 1 {
		return layers.Window{Col: l.at[unit].col, Row: l.at[unit].row, Cols: 1, Rows: 1}
	}
	q := l.squares[unit]
	return layers.Window{Col: q.col, Row: q.row, Cols: l.side, Rows: l.side}.Intersect(w)
}

// units gathers the measures that a profile reads, the first of those taken.
func (l *liveCells) units(p *suitability.Profile) mapUnits {
	u := mapUnits{count: l.count(), cells: len(l.at)}
	for _, q := range l.squares {
		u.ends, u.known = append(u.ends, q.end), append(u.known, q.known)
	}
	for i := range p.Measures() {
		u.rows = append(u.rows, l.gather(l.measured[i]))
	}
	return u
}

func (l *liveCells) gather(b layers.Block) suitability.Row {
	if b.IsCodes() {
		codes := make([]uint8, len(l.at))
		for i, c := range l.at {
			codes[i] = b.Code(c.col, c.row)
		}
		return suitability.Row{Codes: codes}
	}
	values := make([]float32, len(l.at))
	for i, c := range l.at {
		values[i] = b.Value(c.col, c.row)
	}
	return suitability.Row{Values: values}
}
