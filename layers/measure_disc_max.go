package layers

import "math"

// ReachOfDisc is how many cells beyond a window the discs of a radius around
// the window's cells take in. Both are metres.
func ReachOfDisc(radius, cell float64) int { return newDisc(radius, cell).radius }

// MaxWithin is, for every cell of a window, the greatest known number among the
// cells whose centres lie within a radius of the cell's centre, the disc of all
// measures. It is unknown where fewer than 60 % of the disc's cells are known.
// Source must hold the window grown by [ReachOfDisc].
//
// Each row is kept as the maxima of runs of 1, 2, 4, … cells, so that a chord
// of any length is the greater of two of them.
func MaxWithin(source Block, w Window, radius, cell float64) Block {
	d := newDisc(radius, cell)
	source = source.Part(w.Grow(d.radius))
	known := newKnownCells(source, w, d)
	runs := newRunMaxima(source, d)
	out, best := NewValues(w), make([]int32, w.Cols)
	for row := w.Row; row < w.Bottom(); row++ {
		runs.row(row, best)
		to := out.ValueRow(row)
		for i, n := range known.row(row) {
			if d.enough(int(n)) {
				to[i] = fromOrdered(best[i])
			}
		}
	}
	return out
}

// runMaxima holds the maxima of the rows that a disc spans, in a ring.
type runMaxima struct {
	source Block
	disc   disc
	levels int       // runs of 1 << level cells
	ring   [][]int32 // by row and level
	next   int       // first row that is not in the ring yet
}

func newRunMaxima(source Block, d disc) *runMaxima {
	m := &runMaxima{source: source, disc: d, next: source.Window.Row}
	for widest := 2*d.radius + 1; widest>>m.levels > 0; {
		m.levels++
	}
	m.ring = make([][]int32, (2*d.radius+1)*m.levels)
	for i := range m.ring {
		m.ring[i] = make([]int32, source.Window.Cols)
	}
	return m
}

// level is a row's maxima of runs of 1 << k cells, by the column of their first.
func (m *runMaxima) level(row, k int) []int32 {
	spans := 2*m.disc.radius + 1
	return m.ring[(row-m.source.Window.Row)%spans*m.levels+k]
}

// row gathers the greatest number in the disc around each cell of a row. Rows
// are asked for in order.
func (m *runMaxima) row(row int, best []int32) {
	for ; m.next <= row+m.disc.radius; m.next++ {
		m.fill(m.next)
	}
	for i := range best {
		best[i] = unknownOrdered
	}
	for _, c := range m.disc.chords {
		k := 0
		for c.cells()>>(k+1) > 0 {
			k++
		}
		runs := m.level(row+c.dy, k)
		left := runs[m.disc.radius+c.lo:][:len(best)]
		right := runs[m.disc.radius+c.hi+1-1<<k:][:len(best)]
		for i, b := range best {
			best[i] = max(b, left[i], right[i])
		}
	}
}

// fill takes a row into the ring. Runs that would go past the row's end are
// left as they are: no chord asks for them.
func (m *runMaxima) fill(row int) {
	runs := m.level(row, 0)
	for i, v := range m.source.ValueRow(row) {
		runs[i] = toOrdered(v)
	}
	for k := 1; k < m.levels; k++ {
		shorter, step := runs, 1<<(k-1)
		runs = m.level(row, k)
		for i := range len(shorter) - step {
			runs[i] = max(shorter[i], shorter[i+step])
		}
	}
}

// Numbers as whole numbers of the same order, which a machine compares without
// a look at what is unknown; the unknown come before all others.
const unknownOrdered = math.MinInt32

func toOrdered(v float32) int32 {
	if v != v {
		return unknownOrdered
	}
	bits := int32(math.Float32bits(v))
	return bits ^ bits>>31&math.MaxInt32
}

func fromOrdered(n int32) float32 {
	return math.Float32frombits(uint32(n ^ n>>31&math.MaxInt32))
}
