package layers

import (
	"fmt"
	"math"
)

// The reducers halve a packed array of cols by rows cells into one of (cols+1)/2
// by (rows+1)/2: each new cell stands for 2×2 old ones, or fewer at an odd edge.
// They depend on those cells alone, so an array may be reduced in any even
// pieces. They panic if an array is too short, which is a programmer's error.

// ReduceAverage takes the mean of the known cells of each 2×2, rounded half up;
// nodata only where all are.
func ReduceAverage(dst, src []uint8, cols, rows int, nodata uint8) {
	reduce(dst, src, cols, rows, nodata, func(dst, upper, lower []uint8) {
		for i := range dst {
			up, low := upper[2*i:2*i+2:2*i+2], lower[2*i:2*i+2:2*i+2]
			a, b, c, d := up[0], up[1], low[0], low[1]
			mean := uint8((uint32(a) + uint32(b) + uint32(c) + uint32(d) + 2) / 4)
			if a == nodata || b == nodata || c == nodata || d == nodata || mean == nodata {
				mean = meanByte(a, b, c, d, nodata)
			}
			dst[i] = mean
		}
	})
}

// ReduceMode takes the most frequent known code of each 2×2; of equally
// frequent codes the lowest; nodata only where all are.
func ReduceMode(dst, src []uint8, cols, rows int, nodata uint8) {
	reduce(dst, src, cols, rows, nodata, func(dst, upper, lower []uint8) {
		for i := range dst {
			a, b, c, d := upper[2*i], upper[2*i+1], lower[2*i], lower[2*i+1]
			if a == b && c == d && a == c {
				dst[i] = a
			} else {
				dst[i] = MostFrequent(a, b, c, d, nodata)
			}
		}
	})
}

// ReduceAverageFloats takes the mean of the known cells of each 2×2, summed in
// float64 along rows; NaN only where all are.
func ReduceAverageFloats(dst, src []float32, cols, rows int) {
	reduce(dst, src, cols, rows, float32(math.NaN()), func(dst, upper, lower []float32) {
		for i := range dst {
			dst[i] = meanFloat(upper[2*i], upper[2*i+1], lower[2*i], lower[2*i+1])
		}
	})
}

// reduce calls join for each pair of rows, the lower of which is nodata below an
// odd edge; the last cell of rows of an odd length is joined by itself.
func reduce[T uint8 | float32](dst, src []T, cols, rows int, nodata T, join func(dst, upper, lower []T)) {
	halfCols, halfRows := (cols+1)/2, (rows+1)/2
	if len(src) < cols*rows || len(dst) < halfCols*halfRows {
		panic(fmt.Sprintf("layers: %d cells do not hold %d by %d, or %d not half of it", len(src), cols, rows, len(dst)))
	}
	for r := range halfRows {
		upper := src[2*r*cols : (2*r+1)*cols]
		var lower []T
		if 2*r+1 < rows {
			lower = src[(2*r+1)*cols : (2*r+2)*cols]
		} else {
			lower = repeated(nodata, cols)
		}
		row := dst[r*halfCols : (r+1)*halfCols]
		join(row[:cols/2], upper, lower)
		if cols%2 == 1 {
			join(row[halfCols-1:], []T{upper[cols-1], nodata}, []T{lower[cols-1], nodata})
		}
	}
}

func repeated[T any](v T, n int) []T {
	row := make([]T, n)
	for i := range row {
		row[i] = v
	}
	return row
}

func meanByte(a, b, c, d, nodata uint8) uint8 {
	var sum, n uint32
	for _, v := range [4]uint8{a, b, c, d} {
		if v != nodata {
			sum += uint32(v)
			n++
		}
	}
	if n == 0 {
		return nodata
	}
	mean := uint8((2*sum + n) / (2 * n))
	if mean == nodata {
		return besideNodata(nodata, sum, n)
	}
	return mean
}

// besideNodata keeps a mean that happens to equal the nodata code a number: the next
// code on the side of the exact mean. It only happens where nodata lies between
// known codes.
func besideNodata(nodata uint8, sum, n uint32) uint8 {
	if sum < uint32(nodata)*n && nodata > 0 || nodata == 255 {
		return nodata - 1
	}
	return nodata + 1
}

// MostFrequent is the code that most of four cells have; of equally frequent ones
// the lowest; nodata only where all four are.
func MostFrequent(a, b, c, d, nodata uint8) uint8 {
	codes := [4]uint8{a, b, c, d}
	best, votes := nodata, 0
	for _, v := range codes {
		if v == nodata {
			continue
		}
		n := 0
		for _, o := range codes {
			if o == v {
				n++
			}
		}
		if n > votes || n == votes && v < best {
			best, votes = v, n
		}
	}
	return best
}

func meanFloat(a, b, c, d float32) float32 {
	sum, n := 0.0, 0.0
	for _, v := range [4]float32{a, b, c, d} {
		if v == v {
			sum += float64(v)
			n++
		}
	}
	return float32(sum / n) // 0/0 is NaN
}
