package suitability

import (
	"math"

	"tussock/layers"
)

// segment cuts one species' cells into compressed tiles of full and of half
// resolution.
func (j *Job) segment(c *cells, w layers.Window) segment {
	var s segment
	for _, p := range planesFor(j.Audience) {
		if j.cellsOf(p) == layers.CogFloats {
			s.Tiles = append(s.Tiles, floatCutter(p, c).cut(w)...)
		} else {
			s.Tiles = append(s.Tiles, byteCutter(p, j.coder(c, p)).cut(w)...)
		}
	}
	return s
}

// cellsOf is how a plane is stored: classes are always bytes.
func (j *Job) cellsOf(p Plane) layers.CogCells {
	if p.Continuous() && j.Values == Floats {
		return layers.CogFloats
	}
	return layers.CogBytes
}

// numbers are the values of a continuous plane.
func (c *cells) numbers(p Plane) []float32 {
	if p == HabitatPlane {
		return c.habitat
	}
	return c.suitability
}

// at is where a cell lies in the rows of c.
func (c *cells) at(col, row int) int {
	return (row-c.window.Row)*c.window.Cols + col - c.window.Col
}

// coder writes a plane's bytes for the cells of a row that begin at (col, row).
func (j *Job) coder(c *cells, p Plane) func(dst []uint8, col, row int) {
	switch p {
	case StandingPlane:
		return func(dst []uint8, col, row int) { copy(dst, c.standing[c.at(col, row):]) }
	case ClassPlane:
		return func(dst []uint8, col, row int) {
			for i, S := range c.suitability[c.at(col, row):][:len(dst)] {
				dst[i] = uint8(j.Classes.OfFloat32(S)) // −1 for unknown becomes 255
			}
		}
	default:
		return func(dst []uint8, col, row int) {
			for i, S := range c.numbers(p)[c.at(col, row):][:len(dst)] {
				dst[i] = EncodeByte(float64(S))
			}
		}
	}
}

// cutter cuts one plane of one block into tiles.
type cutter[T uint8 | float32] struct {
	plane   Plane
	unknown T
	cells   func(dst []T, col, row int)
	reduce  func(dst, src []T, cols, rows int)
	encode  func(dst []byte, cells []T) []byte
	stats   func(cells []T) tileStats
}

func byteCutter(p Plane, cells func(dst []uint8, col, row int)) cutter[uint8] {
	reduce := layers.ReduceMode
	if p.Continuous() {
		reduce = layers.ReduceAverage
	}
	return cutter[uint8]{
		plane: p, unknown: ByteNodata, cells: cells,
		reduce: func(dst, src []uint8, cols, rows int) { reduce(dst, src, cols, rows, ByteNodata) },
		encode: layers.NewTileCodec(layers.CogBytes, ByteNodata).EncodeBytes,
		stats:  func(cells []uint8) tileStats { return statsOfBytes(cells, ByteNodata, p.scale()) },
	}
}

func floatCutter(p Plane, c *cells) cutter[float32] {
	return cutter[float32]{
		plane: p, unknown: float32(math.NaN()),
		cells:  func(dst []float32, col, row int) { copy(dst, c.numbers(p)[c.at(col, row):]) },
		reduce: layers.ReduceAverageFloats,
		encode: layers.NewTileCodec(layers.CogFloats, ByteNodata).EncodeFloats,
		stats:  statsOfFloats,
	}
}

// cut fills whole tiles, unknown beyond the block, and halves them while they
// are at hand, so that joining a surface has to read only a quarter of it.
func (c cutter[T]) cut(w layers.Window) []segmentTile {
	cols, rows := roundUp(w.Cols, blockStep), roundUp(w.Rows, blockStep)
	full := make([]T, cols*rows)
	for i := range full {
		full[i] = c.unknown
	}
	for row := range w.Rows {
		c.cells(full[row*cols:][:w.Cols], w.Col, w.Row+row)
	}
	half := make([]T, len(full)/4)
	c.reduce(half, full, cols, rows)
	tiles := c.tiles(0, full, cols, w)
	return append(tiles, c.tiles(1, half, cols/2, halved(w))...)
}

func (c cutter[T]) tiles(level uint8, cells []T, stride int, w layers.Window) []segmentTile {
	var tiles []segmentTile
	tile := make([]T, tileSide*tileSide)
	for row := 0; row < w.Rows; row += tileSide {
		for col := 0; col < w.Cols; col += tileSide {
			for y := range tileSide {
				copy(tile[y*tileSide:][:tileSide], cells[(row+y)*stride+col:])
			}
			t := segmentTile{Plane: c.plane, Level: level, Col: uint32((w.Col + col) / tileSide), Row: uint32((w.Row + row) / tileSide)}
			if level == 0 {
				t.Stats = c.stats(tile)
			}
			t.Data = c.encode(nil, tile)
			tiles = append(tiles, t)
		}
	}
	return tiles
}

// scale turns a stored byte into the plane's unit.
func (p Plane) scale() float64 {
	if p.Continuous() {
		return ByteScale
	}
	return 1
}

func roundUp(n, step int) int { return (n + step - 1) / step * step }

// halved is a window's place in the next smaller resolution; a last odd row or
// column keeps a cell of its own.
func halved(w layers.Window) layers.Window {
	return layers.Window{Col: w.Col / 2, Row: w.Row / 2, Cols: (w.Cols + 1) / 2, Rows: (w.Rows + 1) / 2}
}
