package suitability

import (
	"math"

	"tussock/layers"
)

// average spreads the mean of every whole square of n cells over the square, so
// that a map shows no more than its audience may see. Unknown cells are left out
// of the mean; a square that is mostly unknown stays unknown. The standing is
// generalised too, as a sharp edge of "excluded" would show what the numbers
// hide: a square has the most frequent standing of the cells that decided it,
// the known ones where it has a mean and the others where it has none; of equally
// frequent ones, the first.
//
// The window must hold whole squares. At the grid's rim they stick out of it and
// take in what lies there, so that no square shows less ground than another.
func (c *cells) average(n int) {
	for row := 0; row < c.window.Rows; row += n {
		for col := 0; col < c.window.Cols; col += n {
			s := mapSquare{cells: c, col: col, row: row, side: n}
			s.mean(c.habitat)
			s.standing(s.mean(c.suitability))
		}
	}
}

// mapSquare is a square of cells; col and row are counted from the window's corner.
type mapSquare struct {
	cells          *cells
	col, row, side int
}

func (s mapSquare) line(y int) (from, to int) {
	from = (s.row+y)*s.cells.window.Cols + s.col
	return from, from + s.side
}

// mean spreads the mean, and hands back the votes of standings: of unknown cells
// before known ones, and which of the two decided.
func (s mapSquare) mean(numbers []float32) (votes [2][RangeNotDocumented + 1]int, decided int) {
	sum := 0.0
	known := 0
	for y := range s.side {
		from, to := s.line(y)
		for i, v := range numbers[from:to] {
			is := 0
			if v == v {
				sum += float64(v)
				known++
				is = 1
			}
			votes[is][s.cells.standing[from+i]]++
		}
	}
	mean := float32(math.NaN())
	if 2*known >= s.side*s.side {
		mean, decided = float32(sum/float64(known)), 1
	}
	for y := range s.side {
		from, to := s.line(y)
		fill(numbers[from:to], mean)
	}
	return votes, decided
}

func (s mapSquare) standing(votes [2][RangeNotDocumented + 1]int, decided int) {
	best := Standing(0)
	for standing, n := range votes[decided] {
		if n > votes[decided][best] {
			best = Standing(standing)
		}
	}
	for y := range s.side {
		from, to := s.line(y)
		fill(s.cells.standing[from:to], uint8(best))
	}
}

// whole widens a window to whole squares of n cells, counted from the grid's
// north-west corner. It may then stick out of the grid.
func whole(w layers.Window, n int) layers.Window {
	col, row := w.Col/n*n, w.Row/n*n
	right, bottom := roundUp(w.Right(), n), roundUp(w.Bottom(), n)
	return layers.Window{Col: col, Row: row, Cols: right - col, Rows: bottom - row}
}
