package land

import "math"

// layGround makes the elevation, puts the river in, and finds where water goes.
func (m *maker) layGround() {
	m.ground = m.relief.shape()
	m.sinkRiver()
	m.fitHeights()
	bed := m.bedCells()
	m.water = drain(m.ground, func(i int) bool { return bed[i] || onEdge(i) })
	m.toBed = distances(20000, func(i int) bool { return bed[i] })
	m.slope = slopes(m.ground)
	m.findBrooks()
	m.toRill = distances(3000, func(i int) bool { return bed[i] || m.brook[i] })
	m.findWet()
}

func onEdge(i int) bool { return i%Cols == 0 || i%Cols == Cols-1 || i < Cols || i >= (Rows-1)*Cols }

// fitHeights stretches the hill so that its top stands at the district's
// highest, and keeps everything at or above the lowest.
func (m *maker) fitHeights() {
	const knee = 110.0
	top := 0.0
	for _, z := range m.ground.v {
		top = max(top, z)
	}
	for i, z := range m.ground.v {
		if z > knee {
			z = knee + (z-knee)*(highest-1-knee)/(top-knee)
		}
		m.ground.v[i] = max(z, lowest)
	}
}

// sinkRiver sets the river's cells to the height of its water. A cell that the
// river passes more than once is level with all that lies between, so that the
// water never runs uphill.
func (m *maker) sinkRiver() {
	levels := m.river.level()
	var cells []int
	var heights []float64
	for i := 1; i < len(m.river.bed); i++ {
		for _, c := range cellsAlong(m.river.bed[i-1 : i+1]) {
			cells, heights = append(cells, c), append(heights, levels[i])
		}
	}
	last := map[int]int{}
	for i, c := range cells {
		last[c] = i
	}
	for i := 0; i < len(cells); i++ {
		until := last[cells[i]]
		for j := i; j <= until; j++ {
			until = max(until, last[cells[j]])
		}
		for j := i; j <= until; j++ {
			m.ground.v[cells[j]] = max(heights[until], lowest)
		}
		i = until
	}
	m.raiseBanks(cells)
}

// raiseBanks keeps the ground beside the river above its water.
func (m *maker) raiseBanks(cells []int) {
	bed := make([]bool, Cols*Rows)
	for _, c := range cells {
		bed[c] = true
	}
	var near [8]int
	for _, c := range cells {
		for _, j := range around(c, Cols, Rows, &near) {
			if !bed[j] {
				m.ground.v[j] = max(m.ground.v[j], m.ground.v[c]+0.4)
			}
		}
	}
}

func (m *maker) bedCells() []bool {
	bed := make([]bool, Cols*Rows)
	for _, c := range cellsAlong(m.river.bed) {
		bed[c] = true
	}
	return bed
}

// slopes is the rise per metre at each cell, with Horn's (1981, Proc. IEEE
// 69:14-47) weights.
func slopes(l *lattice) []float64 {
	out := make([]float64, len(l.v))
	for i := range out {
		p, q := rise(l, i)
		out[i] = math.Hypot(p, q)
	}
	return out
}

// rise is the rise eastwards and northwards at a cell; beyond the edge the
// ground goes on level.
func rise(l *lattice, i int) (east, north float64) {
	c, r := i%l.cols, i/l.cols
	z := func(dc, dr int) float64 {
		return l.v[clampInt(r+dr, 0, l.rows-1)*l.cols+clampInt(c+dc, 0, l.cols-1)]
	}
	east = z(1, -1) + 2*z(1, 0) + z(1, 1) - z(-1, -1) - 2*z(-1, 0) - z(-1, 1)
	north = z(-1, -1) + 2*z(0, -1) + z(1, -1) - z(-1, 1) - 2*z(0, 1) - z(1, 1)
	return east / (8 * l.cell), north / (8 * l.cell)
}

// findWet makes an index of wetness from the topographic wetness index
// ln(a/tan slope) (Beven and Kirkby 1979, Hydrol. Sci. Bull. 24:43-69), smoothed,
// with closed hollows and stream sides on top.
func (m *maker) findWet() {
	index := fullLattice()
	m.hollow = make([]float64, len(index.v))
	for i := range index.v {
		index.v[i] = math.Log((m.water.area[i]/Cell + 25) / (m.slope[i] + 0.004))
		m.hollow[i] = m.water.filled[i] - m.ground.v[i]
	}
	index.blur(2, 2)
	m.wet = index.v
	for i, v := range m.wet {
		m.wet[i] = clamp((v-7.0)/7.0+0.25*ramp(0, 0.6, m.hollow[i])+0.12*ramp(90, 20, m.toRill[i]), 0, 1)
	}
}
