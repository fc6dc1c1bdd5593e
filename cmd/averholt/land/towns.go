package land

import (
	"math"

	"github.com/paulmach/orb"
)

// settlement is a town or village in the making.
type settlement struct {
	name, kind string
	people     int
	at         orb.Point
	core, all  float64 // ha built closely, and with gardens and all
	cells      []int   // from the middle outwards
}

// siteTowns places the towns. Brackenford and Sallowby lie east of the river,
// which wanders, so their easting is counted from its valley.
func (m *maker) siteTowns() {
	east := func(off, y float64) orb.Point { return orb.Point{m.river.axis(y) + off, y} }
	m.towns = []*settlement{
		{name: "Brackenford", kind: "town", people: 9400, at: east(4100, 7300), core: 58, all: 268},
		{name: "Sallowby", kind: "town", people: 3100, at: east(3650, 14000), core: 17, all: 92},
		{name: "Pinnick", kind: "village", people: 1200, at: orb.Point{7050, 9150}, core: 4, all: 39},
		{name: "Thorle", kind: "village", people: 600, at: orb.Point{9250, 4500}, core: 2.5, all: 22},
	}
	for _, t := range m.towns {
		t.at = m.goodGround(t.at, 600)
	}
}

// goodGround is the levellest dry free place near a point, with room about it.
func (m *maker) goodGround(p orb.Point, reach float64) orb.Point {
	best, least := p, math.Inf(1)
	for dy := -reach; dy <= reach; dy += Cell {
		for dx := -reach; dx <= reach; dx += Cell {
			q := orb.Point{p[0] + dx, p[1] + dy}
			i := at(q)
			if !inside(q, 100) || !m.free(i) || m.toBed[i] < 350 {
				continue
			}
			if s := 8*m.slope[i] + m.wet[i] + 0.7*ramp(500, 50, m.toRill[i]) + apart(p, q)/reach*0.4; s < least {
				best, least = place(i), s
			}
		}
	}
	return best
}

// growTowns sets the towns' ground aside: round their middles, in ribbons along
// the roads, and not on wet or steep ground.
func (m *maker) growTowns() {
	ragged := newNoise(m.Seed, "town edges")
	for _, t := range m.towns {
		size := math.Sqrt(t.all * 1e4 / math.Pi)
		free := func(i int) bool {
			return m.free(i) && m.toBed[i] > 200 && m.toRill[i] > 30 || apart(place(i), t.at) < 120
		}
		t.cells = m.grow(t.at, cellsOf(t.all), free, func(i int) float64 {
			x, y := m.ground.place(i)
			return math.Hypot(x-t.at[0], y-t.at[1])/size + 0.4*ragged.rough(x/420, y/420, 3, 0.55) -
				0.5*math.Exp(-m.toRoad[i]/110) + 5*m.slope[i] + 0.7*m.wet[i]
		})
		m.claim(townZone, t.cells)
	}
}

// siteHamlets scatters hamlets over the farmland, well apart.
func (m *maker) siteHamlets() {
	rng := stream(m.Seed, "hamlets")
	for range 9000 {
		p := orb.Point{between(rng, 500, width-500), between(rng, 500, height-500)}
		keep := between(rng, 0, 1)
		i := at(p)
		if !m.free(i) || m.slope[i] > 0.09 || m.wet[i] > 0.62 || m.toBed[i] < 450 || m.toRill[i] < 60 || m.Soil[i] == Peat {
			continue
		}
		if keep < 0.6 && m.Soil[i] == Sand { // thin soils feed few
			continue
		}
		if m.crowded(p) {
			continue
		}
		if m.hamlets = append(m.hamlets, p); len(m.hamlets) == 62 {
			return
		}
	}
}

func (m *maker) crowded(p orb.Point) bool {
	for _, t := range m.towns {
		if apart(p, t.at) < 1250+70*math.Sqrt(t.all) {
			return true
		}
	}
	for _, h := range m.hamlets {
		if apart(p, h) < 1350 {
			return true
		}
	}
	return false
}
