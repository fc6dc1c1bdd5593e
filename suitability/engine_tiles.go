package suitability

import (
	"math"

	"tussock/layers"
)

// cutter cuts planes into compressed tiles, one after the other, in buffers that
// it keeps.
type cutter[T uint8 | float32] struct {
	unknown          T
	encode           func(dst []byte, cells []T) []byte
	full, half, tile []T
}

func newByteCutter() cutter[uint8] {
	return cutter[uint8]{unknown: ByteNodata, encode: layers.NewTileCodec(layers.CogBytes, ByteNodata).EncodeBytes, tile: make([]uint8, tileSide*tileSide)}
}

func newFloatCutter() cutter[float32] {
	return cutter[float32]{
		unknown: float32(math.NaN()), encode: layers.NewTileCodec(layers.CogFloats, ByteNodata).EncodeFloats, tile: make([]float32, tileSide*tileSide),
	}
}

// source is where a plane's cells come from and how they are joined.
type source[T uint8 | float32] struct {
	plane  Plane
	row    func(dst []T, row int) // the cells of one of the window's rows, by the grid's number
	reduce func(dst, src []T, cols, rows int)
	stats  func(cells []T) tileStats // nil for classes, which have none
	// twins are tiles of another plane, in the same order, and the places where
	// both planes are the same: those are compressed but once.
	twins []segmentTile
	same  []bool
}

// cut adds a plane's tiles of a window to a segment. They are whole, unknown
// beyond the window, and halved while they are at hand, so that joining a surface
// has to read only a quarter of it.
func (c *cutter[T]) cut(seg *segment, p source[T], w layers.Window) {
	cols, rows := roundUp(w.Cols, blockStep), roundUp(w.Rows, blockStep)
	c.full, c.half = resized(c.full, cols*rows), resized(c.half, cols*rows/4)
	for row := range rows {
		line, known := c.full[row*cols:][:cols], 0
		if row < w.Rows {
			known = w.Cols
			p.row(line[:known], w.Row+row)
		}
		fill(line[known:], c.unknown)
	}
	p.reduce(c.half, c.full, cols, rows)
	first := len(seg.Tiles)
	c.tiles(seg, first, p, 0, c.full, cols, w)
	c.tiles(seg, first, p, 1, c.half, cols/2, halved(w))
}

func (c *cutter[T]) tiles(seg *segment, first int, p source[T], level uint8, cells []T, stride int, w layers.Window) {
	for row := 0; row < w.Rows; row += tileSide {
		for col := 0; col < w.Cols; col += tileSide {
			t := segmentTile{Plane: p.plane, Level: level, Col: uint32((w.Col + col) / tileSide), Row: uint32((w.Row + row) / tileSide)}
			if i := len(seg.Tiles) - first; i < len(p.same) && p.same[i] {
				t.Data, t.Stats = p.twins[i].Data, p.twins[i].Stats
			} else {
				for y := range tileSide {
					copy(c.tile[y*tileSide:][:tileSide], cells[(row+y)*stride+col:])
				}
				if level == 0 && p.stats != nil {
					t.Stats = p.stats(c.tile)
				}
				t.Data = seg.store(func(dst []byte) []byte { return c.encode(dst, c.tile) })
			}
			seg.Tiles = append(seg.Tiles, t)
		}
	}
}

func roundUp(n, step int) int { return (n + step - 1) / step * step }

// resized is a slice of n elements, whatever they hold, in the same memory if it
// is enough.
func resized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

func fill[T uint8 | float32](row []T, v T) {
	for i := range row {
		row[i] = v
	}
}

// halved is a window's place in the next smaller resolution; a last odd row or
// column keeps a cell of its own.
func halved(w layers.Window) layers.Window {
	return layers.Window{Col: w.Col / 2, Row: w.Row / 2, Cols: (w.Cols + 1) / 2, Rows: (w.Rows + 1) / 2}
}
