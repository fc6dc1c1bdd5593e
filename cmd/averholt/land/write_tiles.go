package land

import (
	"iter"
	"math"

	"tussock/layers"
)

// tileSet holds compressed tiles, row by row.
type tileSet struct {
	across int
	data   [][]byte
}

// all goes through the tiles with their column and row.
func (t tileSet) all() iter.Seq2[[2]int, []byte] {
	return func(yield func([2]int, []byte) bool) {
		for i, tile := range t.data {
			if !yield([2]int{i % t.across, i / t.across}, tile) {
				return
			}
		}
	}
}

// tiles cuts an array into tiles, pads them, and compresses them.
func (r raster[T]) tiles(cells []T, cols, rows int) tileSet {
	const side = layers.TileSide
	set := tileSet{across: (cols + side - 1) / side}
	tile := make([]T, side*side)
	for top := 0; top < rows; top += side {
		for left := 0; left < cols; left += side {
			for i := range tile {
				tile[i] = r.outside
			}
			wide := min(side, cols-left)
			for k := range min(side, rows-top) {
				copy(tile[k*side:k*side+wide], cells[(top+k)*cols+left:][:wide])
			}
			set.data = append(set.data, r.encode(nil, tile))
		}
	}
	return set
}

// statisticsOf describes cells that are all known.
func statisticsOf(cells []float32) *layers.Statistics {
	s := &layers.Statistics{Count: uint64(len(cells)), Min: math.Inf(1), Max: math.Inf(-1), ValidPercent: 100}
	var sum, squares float64
	for _, v := range cells {
		v := float64(v)
		s.Min, s.Max = min(s.Min, v), max(s.Max, v)
		sum += v
	}
	s.Mean = sum / float64(len(cells))
	for _, v := range cells {
		squares += (float64(v) - s.Mean) * (float64(v) - s.Mean)
	}
	s.StdDev = math.Sqrt(squares / float64(len(cells)))
	return s
}
