package layers

import "encoding/binary"

// countRow counts the cells of a set along each chord around the cells of one
// row.
type countRow func(row int, chords []chord) []uint32

// countSet runs through a set of cells once; member tells for one row of the
// source which cells belong, 1 or 0. The counts are for the cells of w.
func countSet(source, w Window, member func(row int, cells []uint8)) countRow {
	if source.Cols > laneCells {
		return countWide(source, w, member)
	}
	counter, tally := newDiscCounter(source, member), newDiscTally(w.Cols)
	return func(row int, chords []chord) []uint32 {
		return counter.row(row, w.Col, w.Cols, chords, tally)
	}
}

// countWide is countSet for windows too wide for 16-bit lanes.
func countWide(source, w Window, member func(row int, cells []uint8)) countRow {
	set := make([]uint8, source.Cols)
	summer := newDiscSummer(source, func(row int, cells []int64) {
		member(row, set)
		for i, c := range set {
			cells[i] = int64(c)
		}
	})
	sums, counts := make([]int64, w.Cols), make([]uint32, w.Cols)
	return func(row int, chords []chord) []uint32 {
		summer.row(row, w.Col, chords, sums)
		for i, n := range sums {
			counts[i] = uint32(n)
		}
		return counts
	}
}

// A discCounter counts the cells of a set within the disc around every cell.
// Each row is kept as its running count in 16-bit lanes; one chord is then one
// subtraction, and four neighbouring cells share a 64-bit word: the count up to
// a chord's end is never less than up to its start, so no lane borrows from the
// next. Counts are whole numbers and need no order.
type discCounter struct {
	window Window // of the cells of the set
	stride int    // bytes from row to row
	rows   []byte
	filled []bool // rows with any cell of the set
}

// laneCells is the widest window and the fullest lane that 16 bits can count.
const laneCells = 1<<16 - 1

func newDiscCounter(w Window, member func(row int, cells []uint8)) *discCounter {
	// Four lanes are read at once, so a row's end is padded by three.
	d := &discCounter{window: w, stride: 2 * (w.Cols + 4), filled: make([]bool, w.Rows)}
	d.rows = make([]byte, d.stride*w.Rows)
	cells := make([]uint8, w.Cols)
	for i := range w.Rows {
		member(w.Row+i, cells)
		row, sum := d.rows[i*d.stride:(i+1)*d.stride], uint16(0)
		for j, c := range cells {
			sum += uint16(c)
			binary.LittleEndian.PutUint16(row[2*j+2:], sum)
		}
		d.filled[i] = sum > 0
	}
	return d
}

// discTally is the room that counting one row needs.
type discTally struct {
	lanes  []uint64
	counts []uint32
}

func newDiscTally(cols int) *discTally {
	words := (cols + 3) / 4
	return &discTally{lanes: make([]uint64, words), counts: make([]uint32, 4*words)}
}

// row counts along the cells of one row of a window, from its first column.
// The chords must stay inside the counter's window.
func (d *discCounter) row(row, col, cols int, chords []chord, t *discTally) []uint32 {
	clear(t.counts)
	room := laneCells
	var hi, lo []byte // a chord that waits for a second one
	for _, c := range chords {
		at := row + c.dy - d.window.Row
		if !d.filled[at] {
			continue
		}
		if c.cells() > room {
			addChord(t.lanes, hi, lo)
			hi, lo = nil, nil
			t.spill()
			room = laneCells
		}
		room -= c.cells()
		prefix := d.rows[at*d.stride : (at+1)*d.stride]
		end, start := prefix[2*(col+c.hi+1-d.window.Col):], prefix[2*(col+c.lo-d.window.Col):]
		if hi == nil {
			hi, lo = end, start
			continue
		}
		addTwoChords(t.lanes, hi, lo, end, start)
		hi, lo = nil, nil
	}
	addChord(t.lanes, hi, lo)
	t.spill()
	return t.counts[:cols]
}

// addChord adds what lies between two running counts, four cells a step.
func addChord(lanes []uint64, hi, lo []byte) {
	if hi == nil {
		return
	}
	hi, lo = hi[:8*len(lanes)], lo[:8*len(lanes)]
	for i := range lanes {
		j := 8 * i
		lanes[i] += laneWord(hi[j:j+8]) - laneWord(lo[j:j+8])
	}
}

// addTwoChords is addChord twice with half the traffic of the sums.
func addTwoChords(lanes []uint64, hi, lo, hi2, lo2 []byte) {
	size := 8 * len(lanes)
	hi, lo, hi2, lo2 = hi[:size], lo[:size], hi2[:size], lo2[:size]
	for i := range lanes {
		j := 8 * i
		lanes[i] += laneWord(hi[j:j+8]) - laneWord(lo[j:j+8]) + laneWord(hi2[j:j+8]) - laneWord(lo2[j:j+8])
	}
}

func laneWord(b []byte) uint64 { return binary.LittleEndian.Uint64(b) }

// spill moves the lanes' counts into wider ones before they can overflow.
func (t *discTally) spill() {
	for i, lanes := range t.lanes {
		to := t.counts[4*i : 4*i+4 : 4*i+4]
		to[0] += uint32(lanes & 0xffff)
		to[1] += uint32(lanes >> 16 & 0xffff)
		to[2] += uint32(lanes >> 32 & 0xffff)
		to[3] += uint32(lanes >> 48)
		t.lanes[i] = 0
	}
}
