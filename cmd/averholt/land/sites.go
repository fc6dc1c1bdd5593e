package land

import (
	"math"

	"github.com/paulmach/orb"
)

// The areas that the places are made to, ha.
const (
	greatLingHa = 690.0 // with the bogs, birch and gorse among the heath
	emberlowHa  = 150.0
	skarnHa     = 224.0
	mirkwaterHa = 410.0
	sedgeleyHa  = 90.0
	kelderHa    = 1150.0
	dunstallHa  = 55.0
)

// Where the places lie, m east and south of the north-west corner. The fen and
// the carr lie by the river, so their easting is counted from its valley.
var (
	greatLingAt = orb.Point{3700, 7900}
	dunstallAt  = orb.Point{1750, 10150}
	kelderAt    = orb.Point{4700, 13500}
	emberlowAt  = orb.Point{8900, 6700}
	skarnAt     = orb.Point{5700, 1750}
)

const (
	mirkwaterOff, mirkwaterY = 650.0, 14800.0
	sedgeleyOff, sedgeleyY   = -1250.0, 11900.0
)

func (m *maker) mirkwaterAt() orb.Point {
	return orb.Point{m.river.axis(mirkwaterY) + mirkwaterOff, mirkwaterY}
}

func (m *maker) sedgeleyAt() orb.Point {
	return orb.Point{m.river.axis(sedgeleyY) + sedgeleyOff, sedgeleyY}
}

// claimSites sets the ground of the named places aside.
func (m *maker) claimSites() {
	edge := newNoise(m.Seed, "site edges")
	m.claimHill(edge)
	m.claimBlob(heathZone, greatLingAt, greatLingHa, blob{wide: 1.3, tall: 1, turn: 0.3, ragged: 0.85, scale: 2100})
	m.claimBlob(pitZone, dunstallAt, dunstallHa, blob{wide: 1.25, tall: 1, turn: -0.5, ragged: 0.25, scale: 330})
	m.claimBlob(fenZone, m.mirkwaterAt(), mirkwaterHa, blob{wide: 0.95, tall: 1.15, turn: 0.1, ragged: 0.55, scale: 1500, low: 0.3})
	m.claimBlob(carrZone, m.sedgeleyAt(), sedgeleyHa, blob{wide: 0.8, tall: 1.3, turn: 0.4, ragged: 0.3, scale: 650, wetter: 0.25, low: 0.1})
}

// blob is a rounded outline with a ragged edge.
type blob struct {
	wide, tall float64 // of the outline, relative
	turn       float64 // radians, clockwise on the map
	ragged     float64 // how far the edge strays, of the size
	scale      float64 // of its bays and spurs, m
	wetter     float64 // how far wet ground draws the edge outwards, of the size
	low        float64 // how far a metre above the valley's floor pushes it back, of the size
}

func (m *maker) claimBlob(z zone, middle orb.Point, ha float64, b blob) {
	m.claim(z, m.grow(middle, cellsOf(ha), m.free, m.outline(middle, ha, b)))
}

// outline is a blob as a score: about 1 at its edge.
func (m *maker) outline(middle orb.Point, ha float64, b blob) func(i int) float64 {
	edge := newNoise(m.Seed, "outline")
	size := math.Sqrt(ha * 1e4 / math.Pi)
	sin, cos := math.Sincos(b.turn)
	return func(i int) float64 {
		x, y := m.ground.place(i)
		dx, dy := x-middle[0], y-middle[1]
		u, v := (dx*cos+dy*sin)/b.wide, (dy*cos-dx*sin)/b.tall
		above := m.ground.v[i] - m.river.floor(y)
		return math.Hypot(u, v)/size + b.ragged*edge.rough(x/b.scale, y/b.scale, 3, 0.45) -
			b.wetter*m.wet[i] + b.low*max(0, above-1.5)
	}
}

// claimHill takes the highest ground of the ridge.
func (m *maker) claimHill(edge *noise) {
	start := at(skarnAt)
	for i := range m.ground.v {
		if p := place(i); apart(p, skarnAt) < 2500 && m.ground.v[i] > m.ground.v[start] {
			start = i
		}
	}
	m.claim(hillZone, m.grow(place(start), cellsOf(skarnHa), m.free, func(i int) float64 {
		x, y := m.ground.place(i)
		return -m.ground.v[i] + 9*edge.rough(x/500, y/500, 3, 0.5)
	}))
}
