package suitability

import (
	"sync"

	"tussock/layers"
)

// desk is the memory that work on one block of one species takes. It is handed
// from one block to the next, as there is much of it.
type desk struct {
	cells    cells
	excluded []uint8
	bytes    cutter[uint8]
	floats   cutter[float32]
	seg      segment
}

var desks = sync.Pool{New: func() any { return &desk{bytes: newByteCutter(), floats: newFloatCutter()} }}

// cells are one species' results in a window, rows one behind the other.
type cells struct {
	window      layers.Window
	habitat     []float32 // S before the range rule; NaN where not assessed
	suitability []float32 // S after the public range rule; NaN where not shown
	standing    []uint8   // a Standing each
}

// over makes room for a window; what the cells hold is left over from before.
func (c *cells) over(w layers.Window) *cells {
	n := w.Cells()
	c.window = w
	c.habitat, c.suitability, c.standing = resized(c.habitat, n), resized(c.suitability, n), resized(c.standing, n)
	return c
}
