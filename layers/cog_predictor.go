package layers

import "math"

// canonicalNaN is the one NaN that is stored; others would make equal cells
// differ in bytes.
const canonicalNaN = 0x7fc00000

// predictBytes is TIFF predictor 2 (TIFF 6.0, section 14) for one row of a tile:
// each cell but the first is replaced by its difference to the cell before. It
// makes continuous bytes an eighth smaller and leaves classes as they are.
func predictBytes(row, cells []uint8) {
	row[0] = cells[0]
	for i := 1; i < len(cells); i++ {
		row[i] = cells[i] - cells[i-1]
	}
}

// restoreBytes undoes predictBytes in place.
func restoreBytes(row []uint8) {
	for i := 1; i < len(row); i++ {
		row[i] += row[i-1]
	}
}

// predictFloats is TIFF predictor 3 (Adobe Photoshop TIFF Technical Note 3,
// 2005) for one row of a tile: the bytes of the floats are sorted into planes,
// the most significant plane first, and each byte is replaced by its difference
// to the byte before it in the row.
func predictFloats(row []byte, cells []float32) {
	n := len(cells)
	for i, v := range cells {
		bits := math.Float32bits(v)
		if v != v {
			bits = canonicalNaN
		}
		row[i] = byte(bits >> 24)
		row[n+i] = byte(bits >> 16)
		row[2*n+i] = byte(bits >> 8)
		row[3*n+i] = byte(bits)
	}
	for i := len(row) - 1; i > 0; i-- {
		row[i] -= row[i-1]
	}
}

// restoreFloats undoes predictFloats; it overwrites row.
func restoreFloats(cells []float32, row []byte) {
	n := len(cells)
	for i := 1; i < len(row); i++ {
		row[i] += row[i-1]
	}
	for i := range cells {
		cells[i] = math.Float32frombits(uint32(row[i])<<24 | uint32(row[n+i])<<16 | uint32(row[2*n+i])<<8 | uint32(row[3*n+i]))
	}
}
