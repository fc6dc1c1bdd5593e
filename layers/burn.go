package layers

import (
	"math"

	"github.com/paulmach/orb"
)

// burner burns shapes into one window. It serves one goroutine.
type burner struct {
	window Window
	cell   float64     // metres
	rows   [][]float64 // scratch: where a shape's edges cross each row's centres
	cover  coverage
}

func newBurner(w Window, cell float64) *burner {
	return &burner{window: w, cell: cell, rows: make([][]float64, w.Rows)}
}

// burn adds the shapes that pick takes to a new block of zeros.
func (b *burner) burn(s *shapes, how Burn, pick func(i int32) bool, out Block) {
	if b.window.Empty() {
		return
	}
	pad := how.Width / 2 / b.cell
	var union *shareUnion
	var metres []float64
	switch how.Kind {
	case BurnShare:
		union = newShareUnion(b.window)
	case BurnLength:
		metres = make([]float64, b.window.Cells())
	}
	for _, i := range s.meeting(b.window, pad) {
		if !pick(i) {
			continue
		}
		shape := &s.list[i]
		switch how.Kind {
		case BurnCount:
			b.count(shape.centre, out)
		case BurnLength:
			b.length(shape.lines, metres)
		case BurnShare:
			b.share(shape, pad, union)
		case BurnTouch:
			b.touch(shape, true, out)
		default:
			b.touch(shape, false, out)
		}
	}
	switch how.Kind {
	case BurnShare:
		union.write(out)
	case BurnLength:
		for k, m := range metres {
			out.Values[k] = float32(m)
		}
	}
}

// touch sets the cells whose centre a polygon holds, and those that a line or
// point touches; with boundaries, those that a polygon's boundary touches too.
// A cell that no boundary touches lies wholly inside or outside, so together
// these are all cells that any part of the shape touches.
func (b *burner) touch(s *shape, boundaries bool, out Block) {
	b.touched(s, boundaries, func(row, from, to int) { fillRow(out, row, from, to, 1) })
}

// touched calls set for the runs of those cells; a cell may come more than once.
func (b *burner) touched(s *shape, boundaries bool, set func(row, from, to int)) {
	b.centres(s.rings, set)
	for _, l := range s.lines {
		b.trace(l, set)
	}
	for _, p := range s.points {
		b.mark(p, set)
	}
	if boundaries {
		for _, r := range s.rings {
			b.trace(r, set)
		}
	}
}

// fillRow sets the columns from up to before to, which lie in the window.
func fillRow(out Block, row, from, to int, v float32) {
	line := out.ValueRow(row)[from-out.Window.Col : to-out.Window.Col]
	for i := range line {
		line[i] = v
	}
}

// mark sets the cell that holds a point.
func (b *burner) mark(p orb.Point, set func(row, from, to int)) {
	col, row := clampCell(math.Floor(p[0])), clampCell(math.Floor(p[1]))
	if b.window.Has(col, row) {
		set(row, col, col+1)
	}
}

// count adds one to the cell that holds a point.
func (b *burner) count(p orb.Point, out Block) {
	b.mark(p, func(row, from, _ int) { out.ValueRow(row)[from-out.Window.Col]++ })
}

// classes gives each cell the code of the first shape, by feature id, that
// takes it: a polygon by the cell's centre, a line or point by touch.
func (b *burner) classes(s *shapes, code func(i int32) uint8, out Block) {
	if b.window.Empty() {
		return
	}
	for _, i := range s.meeting(b.window, 0) {
		value := code(i)
		if value == NoClass {
			continue
		}
		set := func(row, from, to int) {
			line := out.CodeRow(row)[from-out.Window.Col : to-out.Window.Col]
			for k := range line {
				if line[k] == NoClass {
					line[k] = value
				}
			}
		}
		shape := &s.list[i]
		b.centres(shape.rings, set)
		for _, l := range shape.lines {
			b.trace(l, set)
		}
		for _, p := range shape.points {
			b.mark(p, set)
		}
	}
}
