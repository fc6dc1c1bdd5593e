package land

import (
	"math"

	"github.com/paulmach/orb"
)

// claimWaters sets aside the river, two cells wide where it is a slow lowland
// river, and the canal.
func (m *maker) claimWaters() {
	for _, i := range cellsAlong(m.river.bed) {
		m.zone[i] = waterZone
	}
	for k := 1; k < len(m.river.bed); k++ {
		a, b := m.river.bed[k-1], m.river.bed[k]
		half := 8 + 8*ramp(6000, 13500, a[1])
		l := max(apart(a, b), 1)
		for _, side := range []float64{-1, 1} {
			p := orb.Point{b[0] - side*half*(b[1]-a[1])/l, b[1] + side*half*(b[0]-a[0])/l}
			if inside(p, 0) {
				m.widen(at(p), at(b))
			}
		}
	}
	m.digCanal()
	for _, i := range cellsAlong(m.canal) {
		m.zone[i] = waterZone
	}
}

// widen makes a cell part of the river beside a cell of its bed.
func (m *maker) widen(i, bed int) {
	if m.zone[i] != waterZone && inside(place(bed), 0) {
		m.zone[i] = waterZone
		m.ground.v[i] = max(lowest, min(m.ground.v[i], m.ground.v[bed]+0.1))
	}
}

// digCanal takes the canal from the south edge past Sallowby to the river above
// the fen, as level as the ground lets it.
func (m *maker) digCanal() {
	town := m.towns[1].at
	south := orb.Point{town[0] - 300, height - 10}
	end := m.river.bed[0]
	for _, p := range m.river.bed {
		if math.Abs(p[1]-11300) < math.Abs(end[1]-11300) {
			end = p
		}
	}
	const level = 9.0 // m
	net := newNetwork(m.ground, 0.02, func(p orb.Point) float64 {
		i := at(p)
		cost := 1 + math.Pow(math.Abs(m.ground.v[i]-level)/1.5, 1.5)
		if m.zone[i] != farmland {
			cost += 12
		}
		return cost
	})
	quay := m.quay(town, level)
	nodes := append(net.route(south, quay), net.route(quay, end)[1:]...)
	for _, path := range net.build(nodes, 10) {
		m.canal = append(m.canal, path...)
	}
}

// quay is where the canal passes a town: at its edge, where the ground is as high
// as the canal.
func (m *maker) quay(town orb.Point, level float64) orb.Point {
	best, least := town, math.Inf(1)
	for turn := 0.0; turn < 2*math.Pi; turn += 0.1 {
		for far := 380.0; far < 760; far += 40 {
			p := orb.Point{town[0] + far*math.Cos(turn), town[1] + far*math.Sin(turn)}
			if off := math.Abs(m.ground.v[at(p)]-level) + far/500; inside(p, 100) && off < least {
				best, least = p, off
			}
		}
	}
	return best
}
