package land

import "slices"

// best is the share of cells with the highest scores, in the order given.
func best(cells []int, share float64, score func(i int) float64) []int {
	values := make([]float64, len(cells))
	for k, i := range cells {
		values[k] = score(i)
	}
	sorted := slices.Sorted(slices.Values(values))
	n := clampInt(int(float64(len(cells))*(1-share)+0.5), 0, len(cells))
	if n == len(cells) {
		return nil
	}
	var out []int
	for k, i := range cells {
		if values[k] >= sorted[n] {
			out = append(out, i)
		}
	}
	return out
}

// dress gives the best share of cells a cover and returns the rest.
func (m *maker) dress(cells []int, c Cover, share float64, score func(i int) float64) []int {
	taken := map[int]bool{}
	for _, i := range best(cells, share, score) {
		m.Cover[i] = c
		taken[i] = true
	}
	return slices.DeleteFunc(slices.Clone(cells), func(i int) bool { return taken[i] })
}

// all gives every cell a cover.
func (m *maker) all(cells []int, c Cover) {
	for _, i := range cells {
		m.Cover[i] = c
	}
}

// field is a smooth field of chance of a given scale, m.
func (m *maker) field(purpose string, scale float64, octaves int) func(i int) float64 {
	n := newNoise(m.Seed, purpose)
	return func(i int) float64 {
		x, y := m.ground.place(i)
		return n.rough(x/scale, y/scale, octaves, 0.5)
	}
}

// rim is how deep each cell lies within its zone, m.
func (m *maker) rim(z zone) []float64 {
	return distances(4000, func(i int) bool { return m.zone[i] != z })
}
