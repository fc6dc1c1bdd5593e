package land

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

// plantation is Kelder: pine in compartments between straight rides. Its
// coordinates run along the rides.
type plantation struct {
	m        *maker
	sin, cos float64
	us, vs   []float64 // where the rides run, m from the middle
	stand    map[[2]int]Cover
	rng      *rand.Rand
}

func newPlantation(m *maker) *plantation {
	p := &plantation{m: m, stand: map[[2]int]Cover{}, rng: stream(m.Seed, "plantation")}
	p.sin, p.cos = math.Sincos(between(p.rng, 0.2, 0.45))
	for u := -4200.0; u < 4200; u += between(p.rng, 330, 560) {
		p.us = append(p.us, u)
	}
	for v := -4200.0; v < 4200; v += between(p.rng, 230, 360) {
		p.vs = append(p.vs, v)
	}
	return p
}

// along turns a point into the plantation's coordinates.
func (p *plantation) along(q orb.Point) (u, v float64) {
	dx, dy := q[0]-kelderAt[0], q[1]-kelderAt[1]
	return dx*p.cos + dy*p.sin, dy*p.cos - dx*p.sin
}

func (p *plantation) back(u, v float64) orb.Point {
	return orb.Point{kelderAt[0] + u*p.cos - v*p.sin, kelderAt[1] + u*p.sin + v*p.cos}
}

// compartment is the rectangle between rides that holds a point.
func (p *plantation) compartment(q orb.Point) [2]int {
	u, v := p.along(q)
	return [2]int{slot(p.us, u), slot(p.vs, v)}
}

func slot(lines []float64, v float64) int {
	n := 0
	for n < len(lines) && lines[n] <= v {
		n++
	}
	return n
}

// claim takes whole compartments from the middle outwards, so that the edge runs
// along rides.
func (p *plantation) claim() {
	ragged := newNoise(p.m.Seed, "plantation edge")
	score := map[[2]int]float64{}
	free := func(i int) bool { return p.m.free(i) && p.m.toRoad[i] > 30 }
	cells := p.m.grow(kelderAt, cellsOf(kelderHa), free, func(i int) float64 {
		key := p.compartment(place(i))
		s, known := score[key]
		if !known {
			s = math.Hypot(p.middle(p.us, key[0])/1.2, p.middle(p.vs, key[1])) + 650*ragged.rough(float64(key[0])/3, float64(key[1])/3, 2, 0.5)
			score[key] = s
		}
		return s
	})
	p.m.claim(pineZone, cells)
}

func (p *plantation) middle(lines []float64, n int) float64 {
	return (lines[clampInt(n-1, 0, len(lines)-1)] + lines[clampInt(n, 0, len(lines)-1)]) / 2
}

// cover plants the compartments and clears the rides.
func (p *plantation) cover() {
	m := p.m
	cells := m.cellsIn(pineZone)
	grassy, ragged := m.field("ride", 300, 3), m.field("stand edge", 160, 2)
	for _, i := range cells {
		key := p.compartment(place(i))
		stand, known := p.stand[key]
		if !known {
			stand = p.plant()
			p.stand[key] = stand
		}
		m.Cover[i] = stand
		if side := p.ride(place(i)); side > 0 {
			m.Cover[i] = ConiferOpen
			if side > 1 {
				m.Cover[i] = RoughGrass
				if grassy(i) > 0.12 {
					m.Cover[i] = DryHeath
				}
			}
		}
		if m.toRill[i] < 45+30*ragged(i) && m.brook != nil {
			m.Cover[i] = BroadleafWood
		}
	}
}

// plant draws what stands in a compartment: closed pine, a clearfell or young
// stand, a remnant of heath, birch and oak.
func (p *plantation) plant() Cover {
	switch v := p.rng.Float64(); {
	case v < 0.26:
		return ConiferOpen
	case v < 0.30:
		return DryHeath
	case v < 0.36:
		return BroadleafWood
	}
	return ConiferClosed
}

// ride is 0 off the rides, 1 on a small one and 2 on one of the wide ones, which
// are every fourth.
func (p *plantation) ride(q orb.Point) int {
	u, v := p.along(q)
	for axis, lines := range [2][]float64{p.us, p.vs} {
		at := [2]float64{u, v}[axis]
		n := slot(lines, at)
		if n == 0 {
			continue
		}
		rank := p.rank(n, axis)
		if past := at - lines[n-1]; rank == 2 && past < 36 || rank == 1 && past < 24 {
			return rank
		}
	}
	return 0
}

// rank of the n-th ride of an axis: as ride has it.
func (p *plantation) rank(n, axis int) int {
	switch {
	case n%4 == 1:
		return 2
	case (n+axis)%2 == 0:
		return 1
	}
	return 0
}
