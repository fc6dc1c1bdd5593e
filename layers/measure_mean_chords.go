package layers

import (
	"math"
	"math/bits"
	"slices"
)

// lowestBit is the exponent e of the lowest bit set in a value that is not 0:
// v is a whole multiple of 2^e.
func lowestBit(v float32) int {
	b := math.Float32bits(v)
	exponent, mantissa := int(b>>23&0xff), b&(1<<23-1)
	if exponent == 0 {
		exponent = 1 // subnormal: no hidden bit
	} else {
		mantissa |= 1 << 23
	}
	return exponent - 150 + bits.TrailingZeros32(mantissa)
}

// chordAdder sums chords of one length along a row. The row is cut at the
// grid's own multiples of the length, so that any chord is the end of one piece
// and the start of the next, or one whole piece: its sum is made of its own
// cells alone, in an order that no window can change.
type chordAdder struct {
	length int
	offset int   // of the chord's first cell from the disc's centre
	dys    []int // rows of the disc with this chord
	ends   []float64
	sums   []float64
}

// along sums the chords that start at each of the first cells; first is the
// grid's column of the row's first cell.
func (c *chordAdder) along(first int, values []float64) []float64 {
	c.fromEnds(first, values)
	// phase is where in its piece a chord's last cell lies.
	last := c.length - 1
	phase := ((first+last)%c.length + c.length) % c.length
	start := max(last-phase, 0)
	sum := 0.0
	for _, v := range values[start:last] {
		sum += v
	}
	for i := range c.sums {
		if phase == last {
			c.sums[i] = c.ends[i]
			phase, sum = 0, 0
			continue
		}
		sum += values[i+last]
		c.sums[i] = c.ends[i] + sum
		phase++
	}
	return c.sums
}

// fromEnds sums from each cell to the end of its piece, end first.
func (c *chordAdder) fromEnds(first int, values []float64) {
	n := len(c.sums) + c.length - 1
	left := ((first+n)%c.length + c.length) % c.length // cells of the last piece
	sum := 0.0
	for i := n - 1; i >= 0; i-- {
		if left == 0 {
			left, sum = c.length, 0
		}
		left--
		sum += values[i]
		if i < len(c.ends) {
			c.ends[i] = sum
		}
	}
}

// discAdder sums float64 over discs, one row of the source at a time; each
// output row takes its chords from the top one down.
type discAdder struct {
	source Block
	window Window
	disc   disc
	chords []*chordAdder
	values []float64
	open   [][]float64 // output rows that still lack chords, by row modulo their number
	next   int         // first source row not yet added
}

func chordSums(source Block, w Window, d disc) sumRow {
	a := &discAdder{source: source, window: w, disc: d, next: w.Row - d.radius}
	a.values = make([]float64, source.Window.Cols)
	a.open = make([][]float64, 2*d.radius+1)
	for i := range a.open {
		a.open[i] = make([]float64, w.Cols)
	}
	for _, c := range d.chords {
		a.addLength(c, w.Cols)
	}
	return a.row
}

func (a *discAdder) addLength(c chord, cols int) {
	at := slices.IndexFunc(a.chords, func(k *chordAdder) bool { return k.length == c.cells() })
	if at < 0 {
		at = len(a.chords)
		a.chords = append(a.chords, &chordAdder{
			length: c.cells(), offset: c.lo, ends: make([]float64, cols), sums: make([]float64, cols),
		})
	}
	a.chords[at].dys = append(a.chords[at].dys, c.dy)
}

// row adds source rows until an output row is whole. The room of a row that
// was handed out is taken by the row one full disc below.
func (a *discAdder) row(row int) []float64 {
	for ; a.next <= row+a.disc.radius; a.next++ {
		clear(a.slot(a.next + a.disc.radius))
		a.addRow(a.next)
	}
	return a.slot(row)
}

func (a *discAdder) slot(row int) []float64 {
	n := len(a.open)
	return a.open[(row%n+n)%n]
}

// addRow adds one source row's chords to every output row that it reaches; a
// chord reaches each output row once, so that no order among chords matters.
func (a *discAdder) addRow(row int) {
	for i, v := range a.source.ValueRow(row) {
		a.values[i] = 0
		if v == v {
			a.values[i] = float64(v)
		}
	}
	for _, c := range a.chords {
		at := a.window.Col + c.offset - a.source.Window.Col
		sums := c.along(a.window.Col+c.offset, a.values[at:])
		for _, dy := range c.dys {
			to := a.slot(row - dy)
			for i, s := range sums {
				to[i] += s
			}
		}
	}
}
