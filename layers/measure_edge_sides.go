package layers

// edgeCounter counts the edge sides within the disc around each cell of a row.
func edgeCounter(source Block, w Window, d disc, marks *[256]uint8) func(row int) []uint32 {
	upright, level := d.uprightSides(), d.levelSides()
	east := countSet(source.Window, w, func(row int, cells []uint8) { eastSides(source, row, marks, cells) })
	south := countSet(source.Window, w, func(row int, cells []uint8) { southSides(source, row, marks, cells) })
	return func(row int) []uint32 {
		sides := east(row, upright)
		for i, n := range south(row, level) {
			sides[i] += n
		}
		return sides
	}
}

// eastSides marks the cells whose east side is an edge.
func eastSides(source Block, row int, marks *[256]uint8, cells []uint8) {
	codes := source.CodeRow(row)
	clear(cells)
	for i := 0; i+1 < len(codes); i++ {
		if marks[codes[i]]|marks[codes[i+1]] == sideBoth {
			cells[i] = 1
		}
	}
}

// southSides marks the cells whose south side is an edge.
func southSides(source Block, row int, marks *[256]uint8, cells []uint8) {
	clear(cells)
	if row+1 == source.Window.Bottom() {
		return
	}
	below := source.CodeRow(row + 1)
	for i, code := range source.CodeRow(row) {
		if marks[code]|marks[below[i]] == sideBoth {
			cells[i] = 1
		}
	}
}

// uprightSides are the disc's cells that share their east side with another
// cell of the disc: each chord without its last cell.
func (d disc) uprightSides() []chord {
	var chords []chord
	for _, c := range d.chords {
		if c.hi > c.lo {
			chords = append(chords, chord{c.dy, c.lo, c.hi - 1})
		}
	}
	return chords
}

// levelSides are the disc's cells that share their south side with another
// cell of the disc: what each chord has in common with the next.
func (d disc) levelSides() []chord {
	var chords []chord
	for i, c := range d.chords[:len(d.chords)-1] {
		next := d.chords[i+1]
		chords = append(chords, chord{c.dy, max(c.lo, next.lo), min(c.hi, next.hi)})
	}
	return chords
}
