package land

import "hash/fnv"

// plantHedges grows hedges and tree lines along some of the bounds between
// fields, one cell wide. The chance of one belongs to the pair of fields, so that
// a hedge runs the whole length of its bound.
func (m *maker) plantHedges() {
	kept := m.field("hedges", 2600, 3)
	hedge := make([]Cover, Cols*Rows)
	for i, p := range m.parcel {
		if p < 0 {
			continue
		}
		for _, j := range [2]int{i + 1, i + Cols} {
			if j >= len(m.parcel) || j == i+1 && j%Cols == 0 || m.parcel[j] < 0 || m.parcel[j] == p {
				continue
			}
			if c := m.bound(i, p, m.parcel[j], kept(i)); c != 0 {
				hedge[i] = c
			}
		}
	}
	for i, c := range hedge {
		if c != 0 && grazedOrPloughed(m.Cover[i]) {
			m.Cover[i] = c
		}
	}
}

func grazedOrPloughed(c Cover) bool { return c == Arable || c == ImprovedGrass || c == RoughGrass }

// bound is what grows between two fields: nothing on most of the peat and the
// big arable, a hedge on much of the pasture.
func (m *maker) bound(i int, a, b int32, kept float64) Cover {
	share := 0.2
	switch m.Soil[i] {
	case Clay:
		share = 0.34
	case Peat:
		share = 0.03
	case Loam:
		share = 0.24
	}
	if m.Cover[i] != Arable {
		share += 0.12
	}
	share = 0.9*share + 0.3*kept
	v := dice(m.Seed, min(a, b), max(a, b))
	switch {
	case v >= share:
		return 0
	case v < share*0.14:
		return BroadleafWood
	}
	return Scrub
}

// dice is a number from 0 to 1 that belongs to a seed and two numbers.
func dice(seed uint64, a, b int32) float64 {
	h := fnv.New64a()
	h.Write([]byte{byte(seed), byte(seed >> 8), byte(seed >> 16), byte(seed >> 24), byte(seed >> 32), byte(seed >> 40), byte(seed >> 48), byte(seed >> 56),
		byte(a), byte(a >> 8), byte(a >> 16), byte(a >> 24), byte(b), byte(b >> 8), byte(b >> 16), byte(b >> 24)})
	v := h.Sum64() // FNV leaves its high bits poorly mixed
	v ^= v >> 33
	v *= 0xff51afd7ed558ccd
	v ^= v >> 33
	return float64(v>>11) / (1 << 53)
}
