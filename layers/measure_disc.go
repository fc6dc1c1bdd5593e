package layers

import "math"

// chord is a run of cells of one row, seen from a cell: columns lo to hi of
// the row dy below it.
type chord struct{ dy, lo, hi int }

func (c chord) cells() int { return c.hi - c.lo + 1 }

// disc is the cells whose centres lie within a radius of a cell's centre,
// the radius itself included: dx² + dy² ≤ (radius/cell)². Discs of few cells
// are rough: at two cells' radius 13 cells stand for a circle of 12.57.
type disc struct {
	radius int   // rows above and below
	half   []int // half chord of row dy, at dy + radius
	chords []chord
	cells  int
}

func newDisc(metres, cell float64) disc {
	limit := squaredCells(metres, cell)
	d := disc{radius: wholeRoot(limit)}
	for dy := -d.radius; dy <= d.radius; dy++ {
		h := wholeRoot(limit - dy*dy)
		d.half = append(d.half, h)
		d.chords = append(d.chords, chord{dy, -h, h})
		d.cells += 2*h + 1
	}
	return d
}

// squareShape is the cells with |dx|, |dy| ≤ radius.
func squareShape(radius int) disc {
	d := disc{radius: radius, cells: (2*radius + 1) * (2*radius + 1)}
	for dy := -radius; dy <= radius; dy++ {
		d.half = append(d.half, radius)
		d.chords = append(d.chords, chord{dy, -radius, radius})
	}
	return d
}

// squaredCells is the greatest dx² + dy² that lies within a length. A length
// that is short of a whole number of cells by a rounding error counts as whole.
func squaredCells(metres, cell float64) int {
	return int(math.Floor(metres / cell * (metres / cell) * (1 + 1e-9)))
}

// wholeRoot is the greatest whole number whose square is at most n.
func wholeRoot(n int) int {
	root := int(math.Sqrt(float64(n)))
	for root*root > n {
		root--
	}
	for (root+1)*(root+1) <= n {
		root++
	}
	return root
}

// squareMetres is the area of the disc's cells.
func (d disc) squareMetres(cell float64) float64 { return float64(d.cells) * cell * cell }

// enough tells whether a measure may speak for a disc: at least 60 % of its
// cells are known.
func (d disc) enough(known int) bool { return mostKnown(known, d.cells) }

// mostKnown tells whether at least 60 % of some cells are known.
func mostKnown(known, cells int) bool { return known*5 >= cells*3 }
