package layers

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// ErrGrid is wrapped by every error about an impossible grid.
var ErrGrid = errors.New("layers: not a usable grid")

// Grid is a lattice of square cells, north up. Cell (col, row) covers
// [West + col·Cell, West + (col+1)·Cell) by (North − (row+1)·Cell, North − row·Cell].
type Grid struct {
	CRS   CRS
	West  float64 // x of the west edge, in CRS units (metres)
	North float64 // y of the north edge, in CRS units (metres)
	Cell  float64 // side of a cell, metres
	Cols  int
	Rows  int
}

// maxCells bounds a grid's side, so that windows and tile counts stay far from
// overflow: 2³⁰ cells of 1 m are 27 times the Earth's circumference.
const maxCells = 1 << 30

// NewGrid covers an extent with whole cells: the west and north edges are kept
// and the east and south edges move outwards to the next cell edge.
func NewGrid(crs CRS, extent orb.Bound, cell float64) (Grid, error) {
	g := Grid{CRS: crs, West: extent.Min[0], North: extent.Max[1], Cell: cell}
	for _, v := range []float64{cell, extent.Min[0], extent.Min[1], extent.Max[0], extent.Max[1]} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Grid{}, fmt.Errorf("%w: extent and cell must be finite numbers", ErrGrid)
		}
	}
	if cell <= 0 {
		return Grid{}, fmt.Errorf("%w: cell %g m is not positive", ErrGrid, cell)
	}
	width, height := extent.Max[0]-extent.Min[0], extent.Max[1]-extent.Min[1]
	if width <= 0 || height <= 0 {
		return Grid{}, fmt.Errorf("%w: extent %g by %g m is empty", ErrGrid, width, height)
	}
	cols, rows := cellsAcross(width, cell), cellsAcross(height, cell)
	if cols > maxCells || rows > maxCells {
		return Grid{}, fmt.Errorf("%w: %.0f by %.0f cells is more than %d a side", ErrGrid, cols, rows, maxCells)
	}
	g.Cols, g.Rows = int(cols), int(rows)
	return g, nil
}

// cellsAcross forgives a length that overshoots a whole number of cells by
// under a millionth of a cell, as decimal extents do.
func cellsAcross(length, cell float64) float64 {
	n := length / cell
	if whole := math.Round(n); whole > 0 && math.Abs(n-whole) < 1e-6 {
		return whole
	}
	return math.Ceil(n)
}

// Window is the whole grid as a window.
func (g Grid) Window() Window { return Window{Cols: g.Cols, Rows: g.Rows} }

// CellAt is the cell that holds a point: column floor((x − west)/cell), row
// floor((north − y)/cell). It may lie outside the grid.
func (g Grid) CellAt(p orb.Point) (col, row int) {
	return int(math.Floor((p[0] - g.West) / g.Cell)), int(math.Floor((g.North - p[1]) / g.Cell))
}

// Centre is the middle of a cell, in CRS coordinates.
func (g Grid) Centre(col, row int) orb.Point {
	return orb.Point{g.West + (float64(col)+0.5)*g.Cell, g.North - (float64(row)+0.5)*g.Cell}
}

// Bound is the ground that a window covers, in CRS coordinates.
func (g Grid) Bound(w Window) orb.Bound {
	return orb.Bound{
		Min: orb.Point{g.West + float64(w.Col)*g.Cell, g.North - float64(w.Row+w.Rows)*g.Cell},
		Max: orb.Point{g.West + float64(w.Col+w.Cols)*g.Cell, g.North - float64(w.Row)*g.Cell},
	}
}

// Covering is the smallest window whose cells cover a bound; it may stick out
// of the grid.
func (g Grid) Covering(b orb.Bound) Window {
	col := int(math.Floor((b.Min[0] - g.West) / g.Cell))
	row := int(math.Floor((g.North - b.Max[1]) / g.Cell))
	right := int(math.Ceil((b.Max[0] - g.West) / g.Cell))
	bottom := int(math.Ceil((g.North - b.Min[1]) / g.Cell))
	return Window{Col: col, Row: row, Cols: max(right-col, 1), Rows: max(bottom-row, 1)}
}

// ReachCells is how many whole cells a window must grow by so that everything
// within reach metres of its cells' centres is inside.
func (g Grid) ReachCells(reach float64) int {
	if reach <= 0 {
		return 0
	}
	return int(math.Ceil(reach/g.Cell - 1e-9))
}

// Affine is the six numbers of a north-up raster: x = a[0] + col·a[1] + row·a[2],
// y = a[3] + col·a[4] + row·a[5].
func (g Grid) Affine() [6]float64 {
	return [6]float64{g.West, g.Cell, 0, g.North, 0, -g.Cell}
}
