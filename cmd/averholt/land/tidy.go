package land

// tidy gives every patch of fewer than least cells, joined over sides, to the
// class that most of its neighbours have; of equals, the one met first. Classes
// that may be small are kept. Lone cells are how noise shows.
func tidy[T ~uint8](cells []T, least int, keep func(T) bool) {
	seen := make([]bool, len(cells))
	var patch []int
	var near [8]int
	for start := range cells {
		if seen[start] {
			continue
		}
		patch = append(patch[:0], start)
		seen[start] = true
		var beside [256]int
		best, most := cells[start], 0
		for n := 0; n < len(patch); n++ {
			for _, j := range around(patch[n], Cols, Rows, &near) {
				if !sideBySide(patch[n], j) {
					continue
				}
				if cells[j] == cells[start] {
					if !seen[j] {
						seen[j] = true
						patch = append(patch, j)
					}
					continue
				}
				c := cells[j]
				beside[c]++
				if beside[c] > most && !keep(c) {
					best, most = c, beside[c]
				}
			}
		}
		if len(patch) < least && !keep(cells[start]) && most > 0 {
			for _, i := range patch {
				cells[i] = best
			}
		}
	}
}

func sideBySide(i, j int) bool {
	d := i - j
	return d == 1 || d == -1 || d == Cols || d == -Cols
}
