package layers

// span is a run of cells of one row, both ends included, in columns and rows
// counted from a window's corner.
type span struct{ row, from, to int32 }

func (s span) cells() int { return int(s.to-s.from) + 1 }

// freeRuns are the runs of cells along the rows of a window that hold no
// barrier. A flood goes from run to run: an open disc of 40 cells' radius has
// 5,025 cells but 81 runs.
type freeRuns struct {
	window Window
	first  []int32 // for each cell the run that holds it, or else the next run
	runs   []span  // row by row
	ends   []int32 // for each row, the first run beyond it
}

func newFreeRuns(barrier Block) *freeRuns {
	w := barrier.Window
	f := &freeRuns{window: w, first: make([]int32, w.Cells()), ends: make([]int32, w.Rows)}
	for r := range w.Rows {
		open := false
		first := f.first[r*w.Cols : (r+1)*w.Cols]
		for c, v := range barrier.ValueRow(w.Row + r) {
			switch free := !(v > 0); {
			case free && open:
				f.runs[len(f.runs)-1].to = int32(c)
			case free:
				f.runs = append(f.runs, span{int32(r), int32(c), int32(c)})
				open = true
			default:
				open = false
			}
			first[c] = int32(len(f.runs))
			if open {
				first[c]--
			}
		}
		f.ends[r] = int32(len(f.runs))
	}
	return f
}

// flood finds what can be reached from a cell inside a shape around it. A run
// crosses the shape's chord of its row in one piece, so that a run is the
// smallest thing to be reached or not. It serves one goroutine.
type flood struct {
	free     *freeRuns
	shape    disc
	col, row int32    // the centre
	seen     []uint32 // by run: the flood that reached it last
	turn     uint32   // this flood
	reached  []span   // cut to the shape, in the order in which they were reached
}

func newFlood(free *freeRuns, shape disc) *flood {
	return &flood{free: free, shape: shape, seen: make([]uint32, len(free.runs))}
}

// from floods from a cell, whose whole shape must lie in the window, and lends
// the spans that it reaches. They, and their order, depend on the barrier
// cells inside the shape alone.
func (f *flood) from(col, row int) []span {
	f.col, f.row = int32(col-f.free.window.Col), int32(row-f.free.window.Row)
	f.reached = f.reached[:0]
	if f.turn++; f.turn == 0 {
		clear(f.seen)
		f.turn = 1
	}
	f.enter(f.row, f.col, f.col)
	if len(f.reached) == 0 { // the centre is on a barrier
		f.reached = append(f.reached, span{f.row, f.col, f.col})
		f.enter(f.row, f.col-1, f.col-1)
		f.enter(f.row, f.col+1, f.col+1)
	}
	for i := 0; i < len(f.reached); i++ {
		s := f.reached[i]
		f.enter(s.row-1, s.from, s.to)
		f.enter(s.row+1, s.from, s.to)
	}
	return f.reached
}

// enter reaches the runs of a row that lie beside the columns from and to.
func (f *flood) enter(row, from, to int32) {
	low, high, ok := f.chord(row)
	from, to = max(from, low), min(to, high)
	if !ok || from > to {
		return
	}
	end := f.free.ends[row]
	for k := f.free.first[int(row)*f.free.window.Cols+int(from)]; k < end; k++ {
		run := f.free.runs[k]
		if run.from > to {
			return
		}
		if f.seen[k] != f.turn {
			f.seen[k] = f.turn
			f.reached = append(f.reached, span{row, max(run.from, low), min(run.to, high)})
		}
	}
}

// chord is the columns of a row that lie in the shape.
func (f *flood) chord(row int32) (low, high int32, ok bool) {
	dy := int(row-f.row) + f.shape.radius
	if dy < 0 || dy >= len(f.shape.half) {
		return 0, 0, false
	}
	half := int32(f.shape.half[dy])
	return f.col - half, f.col + half, true
}

// meets tells whether the last flood reached any cell of a span.
func (f *flood) meets(s span) bool {
	low, high, ok := f.chord(s.row)
	from, to := max(s.from, low), min(s.to, high)
	if !ok || from > to {
		return false
	}
	if s.row == f.row && from <= f.col && f.col <= to {
		return true
	}
	end := f.free.ends[s.row]
	for k := f.free.first[int(s.row)*f.free.window.Cols+int(from)]; k < end && f.free.runs[k].from <= to; k++ {
		if f.seen[k] == f.turn {
			return true
		}
	}
	return false
}

// meetsAny tells whether the last flood reached any cell of some spans.
func (f *flood) meetsAny(spans []span) bool {
	for _, s := range spans {
		if f.meets(s) {
			return true
		}
	}
	return false
}
