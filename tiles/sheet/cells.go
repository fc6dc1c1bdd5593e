package sheet

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"slices"

	"tussock/layers"
	"tussock/suitability"
)

// cells are the value and standing of each pixel of the map.
type cells struct {
	frame
	values, standing []byte
	hidden           []bool // under water that is drawn in place of the map; nil: none
	waved            bool   // whether water is drawn as waves anywhere
	pattern          int    // pixels of the map to a pixel of a pattern
}

// readCells takes each pixel's cell from the surface, strip by strip.
func readCells(f frame, m Map, pattern int) (*cells, error) {
	c := &cells{frame: f, values: make([]byte, f.width*f.height), standing: make([]byte, f.width*f.height), pattern: pattern}
	square := 1
	if m.MapCell > f.grid.Cell {
		square = int(math.Ceil(m.MapCell/f.grid.Cell - 1e-9))
	}
	for s := range f.strips {
		w := squares(s.cells, square, f.grid)
		values, standing := make([]byte, w.Cells()), make([]byte, w.Cells())
		if err := m.Surface.ReadBytes(w, values, standing); err != nil {
			return nil, err
		}
		for y := s.top; y < s.bottom; y++ {
			row := inSquare(f.row(y), square, f.grid.Rows) - w.Row
			for x := range f.width {
				at := row*w.Cols + inSquare(f.col(x), square, f.grid.Cols)
				c.values[y*f.width+x], c.standing[y*f.width+x] = values[at], standing[at]
			}
		}
	}
	return c, nil
}

// shown are the values and standings that can be seen: what is hidden counts as
// beyond the area.
func (c *cells) shown() (values, standing []byte) {
	if c.hidden == nil {
		return c.values, c.standing
	}
	standing = bytes.Clone(c.standing)
	for i, hidden := range c.hidden {
		if hidden {
			standing[i] = 0
		}
	}
	return c.values, standing
}

// water tells whether water is drawn in place of the map, and as waves over it.
func (c *cells) water() (filled, waves bool) {
	return slices.Contains(c.hidden, true), c.waved
}

// fewShown is the share of the map up to which names keep off suitability.
const fewShown = 0.3

// hides counts the pixels with suitability under a box, a sixteenth of them;
// where most of a map shows suitability no place for a name is better.
func (c *cells) hides() func(image.Rectangle) int {
	shown := 0
	for i := range c.values {
		if c.valued(i) {
			shown++
		}
	}
	if float64(shown) > fewShown*float64(len(c.values)) {
		return func(image.Rectangle) int { return 0 }
	}
	return func(box image.Rectangle) (n int) {
		for y := box.Min.Y; y < box.Max.Y; y += 4 {
			for x := box.Min.X; x < box.Max.X; x += 4 {
				if c.valued(y*c.width + x) {
					n++
				}
			}
		}
		return n
	}
}

// valued tells whether a pixel shows suitability.
func (c *cells) valued(i int) bool {
	return !filledWater(c.standing[i]) && c.values[i] != suitability.ByteNodata && suitability.Standing(c.standing[i]) != suitability.NotAssessed
}

// inSquare is the middle cell of the square of n cells that holds a cell, along
// one axis; at the rim, the last cell of the grid.
func inSquare(i, n, cells int) int { return min(i/n*n+n/2, cells-1) }

// squares widens a window of whole rows to whole squares within the grid.
func squares(w layers.Window, n int, g layers.Grid) layers.Window {
	top, bottom := w.Row/n*n, (w.Bottom()+n-1)/n*n
	return layers.Window{Col: w.Col, Row: top, Cols: w.Cols, Rows: min(bottom, g.Rows) - top}
}

// paint colours every pixel, as tiles do, over what lies below.
func (c *cells) paint(on *image.RGBA, colour func(value, standing byte, x, y int) color.NRGBA) {
	for y := range c.height {
		for x := range c.width {
			i := y*c.width + x
			over(on, x, y, colour(c.values[i], c.standing[i], x/c.pattern, y/c.pattern))
		}
	}
}

// over lays a colour over a pixel.
func over(on *image.RGBA, x, y int, c color.NRGBA) {
	switch c.A {
	case 0:
	case 255:
		on.SetRGBA(x, y, color.RGBA(c))
	default:
		blend(on, x, y, color.RGBAModel.Convert(c).(color.RGBA))
	}
}
