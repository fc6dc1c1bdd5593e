package land

import (
	"math"

	"github.com/paulmach/orb"
)

// railLength is the length of the Old Averholt Line, m.
const railLength = 14000.0

// layRail draws the disused railway from Pinnick over the river and past
// Brackenford towards the east, with bends as wide as trains need.
func (m *maker) layRail() {
	net := newNetwork(m.ground, 0.012, func(p orb.Point) float64 {
		i := at(p)
		switch m.zone[i] {
		case townZone:
			return 3
		case heathZone, emberZone, fenZone, carrZone:
			return 6
		}
		return 1 + 2*ramp(60, 0, m.toRoad[i])*0.3
	})
	pinnick, market := m.towns[2].at, m.towns[0].at
	bridge := orb.Point{m.river.axis(8900), 8900}
	way := []orb.Point{{pinnick[0] + 350, pinnick[1] - 420}, bridge, {market[0] + 100, market[1] + 1150}, {19500, 11200}, {width - 20, 12400}}
	nodes := []int{nodeAt(way[0])}
	for i := 1; i < len(way); i++ {
		nodes = append(nodes, net.route(way[i-1], way[i])[1:]...)
	}
	path := make([]orb.Point, len(nodes))
	for i, n := range nodes {
		path[i] = nodePlace(n)
	}
	path = smoothed(respaced(smoothed(path, 8), 60), 130)
	m.rail = cutTo(respaced(path, 20), railLength)
	m.gradeRail()
}

// cutTo keeps so much of a line from its start.
func cutTo(path []orb.Point, length float64) []orb.Point {
	done := 0.0
	for i := 1; i < len(path); i++ {
		step := apart(path[i-1], path[i])
		if done+step >= length {
			return append(path[:i:i], mix(path[i-1], path[i], (length-done)/step))
		}
		done += step
	}
	return path
}

// gradeRail gives the line its even gradient: banks over hollows and cuttings
// through rises, at most 6 m high.
func (m *maker) gradeRail() {
	grade := newLattice(len(m.rail), 1, 20, 0, 0)
	for i, p := range m.rail {
		grade.v[i] = m.ground.sample(p[0], p[1])
	}
	grade.blur(22, 3)
	uneven := newNoise(m.Seed, "railway")
	for i, p := range m.rail {
		m.railCell(at(p), grade.v[i])
		if i == 0 || uneven.at(float64(i)/35, 0.5) < -0.05 {
			continue // one cell wide
		}
		a := m.rail[i-1]
		l := max(apart(a, p), 1)
		m.railCell(at(orb.Point{p[0] - (p[1]-a[1])/l*Cell, p[1] + (p[0]-a[0])/l*Cell}), grade.v[i])
	}
}

func (m *maker) railCell(i int, grade float64) {
	switch m.zone[i] {
	case waterZone, townZone:
		return
	}
	if m.zone[i] != railZone {
		z := m.ground.v[i]
		m.ground.v[i] = max(lowest, z+math.Max(-6, math.Min(6, grade-z)))
		m.zone[i] = railZone
	}
}
