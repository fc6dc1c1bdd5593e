package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// frame is the map's place on paper: the whole grid on so many pixels.
type frame struct {
	grid          layers.Grid
	width, height int // pixels
}

// leastFill is how much of the room a map must take with whole pixels to a
// cell, before cells of uneven pixels are taken for a larger map.
const leastFill = 0.8

// newFrame fits a grid into a room. Each cell gets the same whole number of
// pixels where that fills the room well enough.
func newFrame(g layers.Grid, roomWidth, roomHeight int) frame {
	scale := math.Min(float64(roomWidth)/float64(g.Cols), float64(roomHeight)/float64(g.Rows))
	if whole := math.Floor(scale); whole >= 1 && whole >= leastFill*scale {
		scale = whole
	}
	side := func(cells int) int { return max(1, int(math.Round(float64(cells)*scale))) }
	return frame{grid: g, width: min(side(g.Cols), roomWidth), height: min(side(g.Rows), roomHeight)}
}

// col is the column of the cell under the middle of a pixel column, exactly:
// ⌊(x + ½)·cols/width⌋. row is the same downwards.
func (f frame) col(x int) int { return (2*x + 1) * f.grid.Cols / (2 * f.width) }
func (f frame) row(y int) int { return (2*y + 1) * f.grid.Rows / (2 * f.height) }

// pixel is where a point of the grid's CRS lies on the map.
func (f frame) pixel(p orb.Point) (x, y float64) {
	return (p[0] - f.grid.West) * f.perMetreX(), (f.grid.North - p[1]) * f.perMetreY()
}

// perMetreX and perMetreY are pixels to a metre of the grid; they differ by a
// part of a pixel over the whole map.
func (f frame) perMetreX() float64 {
	return float64(f.width) / (float64(f.grid.Cols) * f.grid.Cell)
}

func (f frame) perMetreY() float64 {
	return float64(f.height) / (float64(f.grid.Rows) * f.grid.Cell)
}

// middle is the map's middle in the grid's CRS.
func (f frame) middle() orb.Point { return f.grid.Bound(f.grid.Window()).Center() }

// stripCells is how many cells are read at once.
const stripCells = 1 << 22

// strip is a run of pixel rows, from top up to bottom, and the cells under it.
type strip struct {
	top, bottom int
	cells       layers.Window
}

// strips cuts the map into runs whose cells can be read at once.
func (f frame) strips(yield func(strip) bool) {
	for top := 0; top < f.height; {
		bottom := top + 1
		for bottom < f.height && (f.row(bottom)-f.row(top)+1)*f.grid.Cols <= stripCells {
			bottom++
		}
		first, last := f.row(top), f.row(bottom-1)
		if !yield(strip{top, bottom, layers.Window{Row: first, Cols: f.grid.Cols, Rows: last - first + 1}}) {
			return
		}
		top = bottom
	}
}
