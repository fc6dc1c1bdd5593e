package land

import (
	"math"

	"github.com/paulmach/orb"
)

// coverFen dresses Mirkwater Fen: meres and reed in the middle, sallow and wet
// wood at the edge, fen meadow on its drier side.
func (m *maker) coverFen() {
	cells := m.cellsIn(fenZone)
	rim := m.rim(fenZone)
	deep, sallow, alder, meadow := m.field("fen mere", 620, 2), m.field("fen sallow", 300, 3), m.field("fen alder", 420, 3), m.field("fen meadow", 520, 3)
	edge := func(i int) float64 { return ramp(400, 0, rim[i]) }
	cells = m.dress(cells, OpenWater, 0.09, func(i int) float64 { return deep(i) + 0.4*ramp(60, 450, rim[i]) - 0.5*ramp(120, 30, m.toBed[i]) })
	cells = m.dress(cells, BroadleafWood, 0.07, func(i int) float64 { return alder(i) + 0.9*edge(i) })
	cells = m.dress(cells, Scrub, 0.08, func(i int) float64 { return sallow(i) + 0.6*edge(i) })
	cells = m.dress(cells, RoughGrass, 0.13, func(i int) float64 { return meadow(i) + 0.9*edge(i) })
	cells = m.dress(cells, Bog, 0.02, func(i int) float64 { return -meadow(i) - edge(i) })
	m.all(cells, FenReedbed)
	m.digDykes()
}

// digDykes draws the straight drains of the fen: a few wide ones as water, and
// the small ones as lines alone.
func (m *maker) digDykes() {
	own := map[int]bool{}
	for _, i := range m.cellsIn(fenZone) {
		own[i] = true
	}
	middle := m.mirkwaterAt()
	turn := math.Atan2(6000, m.river.axis(mirkwaterY+3000)-m.river.axis(mirkwaterY-3000))
	sin, cos := math.Sincos(turn)
	rng := stream(m.Seed, "dykes")
	for k := -9; k <= 9; k++ {
		v := float64(k)*215 + between(rng, -45, 45)
		a := orb.Point{middle[0] + v*cos - 2600*sin, middle[1] + v*sin + 2600*cos}
		b := orb.Point{middle[0] + v*cos + 2600*sin, middle[1] + v*sin - 2600*cos}
		if k%2 == 0 { // across
			a = orb.Point{middle[0] + 2600*cos - v*sin, middle[1] + 2600*sin + v*cos}
			b = orb.Point{middle[0] - 2600*cos - v*sin, middle[1] - 2600*sin + v*cos}
		}
		m.digDyke(a, b, k%6 == 0 || k == -3, own, rng.Float64())
	}
}

// digDyke keeps the part of a line that lies in the fen and on this side of the
// river, from one end of it.
func (m *maker) digDyke(a, b orb.Point, wide bool, own map[int]bool, part float64) {
	n := int(apart(a, b) / 20)
	var path []orb.Point
	for k := range n + 1 {
		p := mix(a, b, float64(k)/float64(n))
		if own[at(p)] && m.toBed[at(p)] > 30 {
			path = append(path, p)
			continue
		}
		if len(path) > 15 {
			break
		}
		path = path[:0]
	}
	path = path[:int(float64(len(path))*(0.55+0.45*part))]
	if len(path) < 15 {
		return
	}
	m.dykes = append(m.dykes, []orb.Point{path[0], path[len(path)-1]})
	if wide {
		m.all(cellsAlong(path), OpenWater)
	}
}

// coverCarr dresses Sedgeley Carr: alder and birch over pools, sallow, a little
// open fen.
func (m *maker) coverCarr() {
	cells := m.cellsIn(carrZone)
	rim := m.rim(carrZone)
	pool, fen, sallow := m.field("carr pool", 190, 2), m.field("carr fen", 240, 3), m.field("carr sallow", 260, 3)
	cells = m.dress(cells, OpenWater, 0.06, func(i int) float64 { return pool(i) + 0.4*ramp(40, 200, rim[i]) })
	cells = m.dress(cells, FenReedbed, 0.13, func(i int) float64 { return fen(i) + 0.35*pool(i) })
	cells = m.dress(cells, Scrub, 0.17, func(i int) float64 { return sallow(i) + 0.4*ramp(120, 0, rim[i]) })
	m.all(cells, BroadleafWood)
}
