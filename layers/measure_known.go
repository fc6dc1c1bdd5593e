package layers

import "bytes"

// knownCells counts the known cells of each disc; where the block has no
// unknown cell at all, as it mostly has, every disc is full.
type knownCells struct {
	chords []chord
	full   []uint32
	count  countRow
}

func newKnownCells(source Block, w Window, d disc) knownCells {
	k := knownCells{chords: d.chords}
	if !allKnown(source) {
		k.count = countSet(source.Window, w, func(row int, cells []uint8) { knownRow(source, row, cells) })
		return k
	}
	k.full = make([]uint32, w.Cols)
	for i := range k.full {
		k.full[i] = uint32(d.cells)
	}
	return k
}

// row is how many known cells the disc around each cell of a row has.
func (k knownCells) row(row int) []uint32 {
	if k.count == nil {
		return k.full
	}
	return k.count(row, k.chords)
}

// allKnown tells whether a block has no unknown cell.
func allKnown(b Block) bool {
	for row := b.Window.Row; row < b.Window.Bottom(); row++ {
		if b.IsCodes() {
			if bytes.IndexByte(b.CodeRow(row), NoClass) >= 0 {
				return false
			}
			continue
		}
		for _, v := range b.ValueRow(row) {
			if v != v {
				return false
			}
		}
	}
	return true
}

// knownRow tells for one row which cells are known, 1 or 0.
func knownRow(b Block, row int, cells []uint8) {
	clear(cells)
	if b.IsCodes() {
		for i, code := range b.CodeRow(row) {
			if code != NoClass {
				cells[i] = 1
			}
		}
		return
	}
	for i, v := range b.ValueRow(row) {
		if v == v {
			cells[i] = 1
		}
	}
}
