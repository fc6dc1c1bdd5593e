package land

// spread gives the cells under roads and brooks to the fields beside them.
func (f *fields) spread() {
	m := f.m
	var near [8]int
	for range 3 {
		next := append([]int32(nil), m.parcel...)
		for i, own := range m.parcel {
			if own >= 0 || !m.free(i) {
				continue
			}
			for _, j := range around(i, Cols, Rows, &near) {
				if m.parcel[j] >= 0 {
					next[i] = m.parcel[j]
					break
				}
			}
		}
		m.parcel = next
	}
}

// smallestField is what a corner must have to stay a field of its own, cells.
const smallestField = 14

// mendSmall gives scraps to the field that they share most sides with.
func (f *fields) mendSmall() {
	m := f.m
	seen := make([]bool, len(m.parcel))
	var near [8]int
	for start, own := range m.parcel {
		if own < 0 || seen[start] {
			continue
		}
		seen[start] = true
		patch := []int{start}
		beside := map[int32]int{}
		into, most := own, 0
		for n := 0; n < len(patch); n++ {
			for _, j := range around(patch[n], Cols, Rows, &near) {
				if !sideBySide(patch[n], j) || m.parcel[j] < 0 {
					continue
				}
				if p := m.parcel[j]; p != own {
					if beside[p]++; beside[p] > most {
						into, most = p, beside[p]
					}
				} else if !seen[j] {
					seen[j] = true
					patch = append(patch, j)
				}
			}
		}
		if len(patch) < smallestField {
			for _, i := range patch {
				m.parcel[i] = into
			}
		}
	}
}
