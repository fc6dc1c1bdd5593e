package suitability

import (
	"math"

	"tussock/layers"
)

// cutPlanes cuts one species' cells into the planes that the audience gets.
func (j *Job) cutPlanes(desk *desk, w layers.Window) {
	desk.seg.reset()
	var twins []segmentTile
	var same []bool
	for _, p := range planesFor(j.Audience) {
		if p == SuitabilityPlane && len(desk.seg.Tiles) > 0 { // the habitat map came first
			twins, same = desk.seg.Tiles, desk.cells.sameTiles(w)
		}
		if j.cellsOf(p) == layers.CogFloats {
			s := floatSource(p, &desk.cells, w.Col)
			s.twins, s.same = twins, same
			desk.floats.cut(&desk.seg, s, w)
		} else {
			s := byteSource(p, j.coder(&desk.cells, p, w.Col))
			s.twins, s.same = twins, same
			desk.bytes.cut(&desk.seg, s, w)
		}
		twins, same = nil, nil
	}
}

// cellsOf is how a plane is stored: classes are always bytes.
func (j *Job) cellsOf(p Plane) layers.CogCells {
	if p.Continuous() && j.Values == Floats {
		return layers.CogFloats
	}
	return layers.CogBytes
}

func byteSource(p Plane, row func(dst []uint8, row int)) source[uint8] {
	if !p.Continuous() {
		return source[uint8]{plane: p, row: row,
			reduce: func(dst, src []uint8, cols, rows int) { layers.ReduceMode(dst, src, cols, rows, ByteNodata) }}
	}
	return source[uint8]{plane: p, row: row, stats: statsOfBytes,
		reduce: func(dst, src []uint8, cols, rows int) { layers.ReduceAverage(dst, src, cols, rows, ByteNodata) }}
}

func floatSource(p Plane, c *cells, col int) source[float32] {
	return source[float32]{plane: p, reduce: layers.ReduceAverageFloats, stats: statsOfFloats,
		row: func(dst []float32, row int) { copy(dst, c.numbers(p)[c.at(col, row):]) }}
}

// coder writes a plane's bytes for the cells of a row from col on.
func (j *Job) coder(c *cells, p Plane, col int) func(dst []uint8, row int) {
	switch p {
	case StandingPlane:
		return func(dst []uint8, row int) { copy(dst, c.standing[c.at(col, row):]) }
	case ClassPlane:
		finder := j.Classes.finder()
		return func(dst []uint8, row int) { finder.row(dst, c.suitability[c.at(col, row):]) }
	default:
		return func(dst []uint8, row int) { encodeRow(dst, c.numbers(p)[c.at(col, row):]) }
	}
}

// encodeRow is EncodeByte for a row.
func encodeRow(dst []uint8, numbers []float32) {
	for i, S := range numbers[:len(dst)] {
		if S > 0 && S < 1 { // nearly always
			dst[i] = uint8(float64(S)*byteSteps + 0.5)
		} else {
			dst[i] = EncodeByte(float64(S))
		}
	}
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

// sameTiles tells, in the order in which a cutter makes tiles, in which of them
// habitat and suitability are the same: everywhere within documented range.
func (c *cells) sameTiles(w layers.Window) []bool {
	var same []bool
	across, down := (w.Cols+tileSide-1)/tileSide, (w.Rows+tileSide-1)/tileSide
	for row := range down {
		for col := range across {
			tile := layers.Window{Col: w.Col + col*tileSide, Row: w.Row + row*tileSide, Cols: tileSide, Rows: tileSide}
			same = append(same, c.sameIn(tile.Intersect(w)))
		}
	}
	for row := 0; row < down; row += 2 { // a tile of half the resolution stands for four
		for col := 0; col < across; col += 2 {
			all := true
			for r := row; r < min(row+2, down); r++ {
				for k := col; k < min(col+2, across); k++ {
					all = all && same[r*across+k]
				}
			}
			same = append(same, all)
		}
	}
	return same
}

// sameIn compares bits, for an unknown cell equals no other as a number.
func (c *cells) sameIn(w layers.Window) bool {
	for row := w.Row; row < w.Bottom(); row++ {
		from := c.at(w.Col, row)
		suitability := c.suitability[from : from+w.Cols]
		for i, S := range c.habitat[from : from+w.Cols] {
			if math.Float32bits(S) != math.Float32bits(suitability[i]) {
				return false
			}
		}
	}
	return true
}
