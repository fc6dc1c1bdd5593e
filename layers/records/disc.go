package records

import (
	"iter"
	"math"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// A record's place is known to within its uncertainty only, so what its place is
// like is the mean over the cells of that disc, and never the one cell under its
// centre.

// DiscWindow is the cells that a disc around a place may hold. It may stick out
// of the grid.
func DiscWindow(g layers.Grid, at orb.Point, radius float64) layers.Window {
	col, row := g.CellAt(at)
	return layers.Window{Col: col, Row: row, Cols: 1, Rows: 1}.Grow(g.ReachCells(radius))
}

// discCells goes through the cells of a disc, row by row: those whose centres
// are within the radius, and always the one that holds the place.
func discCells(g layers.Grid, at orb.Point, radius float64) iter.Seq2[int, int] {
	return func(yield func(col, row int) bool) {
		w := DiscWindow(g, at, radius)
		own, ownRow := g.CellAt(at)
		for row := w.Row; row < w.Bottom(); row++ {
			for col := w.Col; col < w.Right(); col++ {
				if (col == own && row == ownRow || near(g.Centre(col, row), at, radius)) && !yield(col, row) {
					return
				}
			}
		}
	}
}

// DiscMean is the mean of a block's numbers over the disc of a radius around a
// place, NaN where nothing of it is known, and the share of its cells that are
// known. The block must hold the disc's window; a block that does not is a
// programmer's error.
func DiscMean(b layers.Block, g layers.Grid, at orb.Point, radius float64) (mean, known float64) {
	sum, cells, all := 0.0, 0, 0
	for col, row := range discCells(g, at, radius) {
		all++
		if v := float64(b.Value(col, row)); !math.IsNaN(v) {
			sum += v
			cells++
		}
	}
	return sum / float64(cells), float64(cells) / float64(all)
}

// DiscLowest is the least of a block's numbers over the disc, NaN where nothing
// of it is known.
func DiscLowest(b layers.Block, g layers.Grid, at orb.Point, radius float64) float64 {
	lowest := math.NaN()
	for col, row := range discCells(g, at, radius) {
		if v := float64(b.Value(col, row)); !(v >= lowest) && !math.IsNaN(v) {
			lowest = v
		}
	}
	return lowest
}

// DiscShares are the shares of each class, by code, among the disc's known
// cells, and the share of its cells that are known. Classes has one place for
// each code that the block may hold; codes beyond it count as unknown.
func DiscShares(b layers.Block, g layers.Grid, at orb.Point, radius float64, classes int) (shares []float64, known float64) {
	counts, cells, all := make([]int, classes), 0, 0
	for col, row := range discCells(g, at, radius) {
		all++
		if code := int(b.Code(col, row)); code != int(layers.NoClass) && code < classes {
			counts[code]++
			cells++
		}
	}
	shares = make([]float64, classes)
	for code, n := range counts {
		if cells > 0 {
			shares[code] = float64(n) / float64(cells)
		}
	}
	return shares, float64(cells) / float64(all)
}
