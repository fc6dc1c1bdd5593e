package layers

import "math"

// members tells row by row which cells any target holds, as distanceRows asks:
// 0 for a member, -1 for any other cell.
func (all targetBlocks) members() func(row int, open []int32) {
	if len(all) == 1 && all[0].condition.Values == nil {
		if all[0].cells.IsCodes() {
			return classMembers(all[0].cells, &all[0].table)
		}
		return burnedMembers(all[0].cells)
	}
	return func(row int, open []int32) {
		for i := range open {
			open[i] = -1
		}
		for k := range all {
			all[k].join(row, open)
		}
	}
}

// join makes the target's cells of one row members.
func (t *targetBlock) join(row int, open []int32) {
	holds := t.holds(row)
	if t.cells.IsCodes() {
		for i, code := range t.cells.CodeRow(row) {
			if t.table[code] && holds(i) {
				open[i] = 0
			}
		}
		return
	}
	for i, v := range t.cells.ValueRow(row) {
		if v > 0 && holds(i) {
			open[i] = 0
		}
	}
}

// holds tells where along a row the condition holds.
func (t *targetBlock) holds(row int) func(i int) bool {
	if t.condition.Values == nil {
		return func(int) bool { return true }
	}
	values := t.condition.ValueRow(row)
	return func(i int) bool { return float64(values[i]) >= t.low && float64(values[i]) <= t.high }
}

// classMembers reads the cells of some classes off a block.
func classMembers(b Block, members *[256]bool) func(row int, open []int32) {
	var table [256]int32
	for code, is := range members {
		table[code] = -1
		if is {
			table[code] = 0
		}
	}
	return func(row int, open []int32) {
		for i, code := range b.CodeRow(row) {
			open[i] = table[code]
		}
	}
}

// burnedMembers reads the cells that a feature touches off a block.
func burnedMembers(b Block) func(row int, open []int32) {
	return func(row int, open []int32) {
		for i, v := range b.ValueRow(row) {
			open[i] = -1
			if v > 0 {
				open[i] = 0
			}
		}
	}
}

// hideUnknown makes the cells unknown whose class is unknown in every target,
// unless a target is of features.
func (all targetBlocks) hideUnknown(out Block) {
	var own []Block
	for _, t := range all {
		if !t.cells.IsCodes() {
			return
		}
		own = append(own, t.cells.Part(out.Window))
	}
	nan := float32(math.NaN())
	for row := out.Window.Row; row < out.Window.Bottom(); row++ {
		to := out.ValueRow(row)
		for i, code := range own[0].CodeRow(row) {
			if code == NoClass && unknownInAll(own[1:], out.Window.Col+i, row) {
				to[i] = nan
			}
		}
	}
}

func unknownInAll(blocks []Block, col, row int) bool {
	for _, b := range blocks {
		if b.Code(col, row) != NoClass {
			return false
		}
	}
	return true
}
