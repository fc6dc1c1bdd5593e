package land

import "github.com/paulmach/orb"

// hectares in cells.
func cellsOf(ha float64) int { return int(ha*1e4/(Cell*Cell) + 0.5) }

// grow takes cells from a start outwards, always the one with the least score
// next, until it has so many: one patch of exactly that size, whose edge follows
// a contour of the score. It stops early only where nothing more is free.
func (m *maker) grow(start orb.Point, cells int, free func(i int) bool, score func(i int) float64) []int {
	var q queue
	seen := map[int]bool{}
	visit := func(i int) {
		if !seen[i] && free(i) {
			seen[i] = true
			q.push(score(i), i)
		}
	}
	visit(at(start))
	var taken []int
	var near [8]int
	for len(taken) < cells && !q.empty() {
		_, i := q.pop()
		taken = append(taken, i)
		for _, j := range around(i, Cols, Rows, &near) {
			if sideBySide(i, j) {
				visit(j)
			}
		}
	}
	return taken
}

// claim sets cells aside for a zone.
func (m *maker) claim(z zone, cells []int) {
	for _, i := range cells {
		m.zone[i] = z
	}
}

func (m *maker) free(i int) bool { return m.zone[i] == farmland }

// cellsIn lists the cells of a zone, from the north-west.
func (m *maker) cellsIn(z zone) []int {
	var cells []int
	for i, own := range m.zone {
		if own == z {
			cells = append(cells, i)
		}
	}
	return cells
}
