package land

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// pondKinds are the kinds of ponds that are scattered. The numbers are
// assumptions: they hang together as those of ponds do, and measure no place.
func (m *maker) pondKinds() []pondKind {
	yards := make([]orb.Point, len(m.Farmyards))
	for i, p := range m.Farmyards {
		yards[i] = offMap(p)
	}
	nearYard := m.nearness(yards, 220)
	nearHamlet := m.nearness(m.hamlets, 160)
	heath := func(z zone) func(i int) float64 {
		return func(i int) float64 {
			if m.zone[i] != z || m.Cover[i] == BroadleafWood || m.Cover[i] == Scrub {
				return 0
			}
			return m.wet[i] + 0.4*ramp(0, 0.8, m.hollow[i])
		}
	}
	zoned := func(z zone) func(i int) float64 { return m.among(func(i int) bool { return m.zone[i] == z }) }
	farmed := m.among(func(i int) bool {
		return m.parcel[i] >= 0 && grazedOrPloughed(m.Cover[i]) && (m.Soil[i] == Clay || m.Soil[i] == Loam)
	})
	return []pondKind{
		{name: "heath", count: 38, least: 12, most: 700, like: heath(heathZone), permanent: 0.12, some: 0.4, shade: [2]float64{0, 12}, ph: [2]float64{3.9, 5.3}},
		{name: "heath", count: 7, least: 12, most: 250, like: heath(emberZone), permanent: 0.1, some: 0.35, shade: [2]float64{0, 20}, ph: [2]float64{4.2, 5.6}},
		{name: "hill", count: 4, least: 20, most: 260, like: heath(hillZone), permanent: 0.3, some: 0.4, shade: [2]float64{0, 5}, ph: [2]float64{4, 5}},
		{name: "pit", count: 15, least: 45, most: 2600, like: m.among(func(i int) bool { return m.Cover[i] == SandPit }), permanent: 0.06, some: 0.26, maybe: 0.1, shade: [2]float64{0, 9}, ph: [2]float64{6.1, 7.8}},
		{name: "fen", count: 26, least: 350, most: 6500, like: m.among(func(i int) bool { return m.zone[i] == fenZone && m.Cover[i] == FenReedbed }), permanent: 0.86, some: 0.6, fish: 0.6, maybe: 0.25, shade: [2]float64{0, 35}, ph: [2]float64{6.5, 7.8}},
		{name: "carr", count: 14, least: 90, most: 2400, like: zoned(carrZone), permanent: 0.55, some: 0.4, fish: 0.3, maybe: 0.3, shade: [2]float64{35, 95}, ph: [2]float64{5.9, 7.1}},
		{name: "farm", count: 62, least: 60, most: 1300, seldom: true, like: func(i int) float64 { return farmed(i) * nearYard(i) }, permanent: 0.58, some: 0.3, fish: 0.45, maybe: 0.25, shade: [2]float64{0, 80}, ph: [2]float64{6.6, 8.2}},
		{name: "farm", count: 58, least: 50, most: 900, seldom: true, like: func(i int) float64 { return farmed(i) * (0.4 + m.wet[i]) }, permanent: 0.34, some: 0.44, fish: 0.2, maybe: 0.2, shade: [2]float64{0, 95}, ph: [2]float64{6.4, 8}},
		{name: "wood", count: 30, least: 30, most: 520, seldom: true, like: m.among(func(i int) bool { return m.zone[i] == woodZone && m.Cover[i] == BroadleafWood }), permanent: 0.3, some: 0.45, fish: 0.05, maybe: 0.15, shade: [2]float64{55, 100}, ph: [2]float64{5.6, 7.2}},
		{name: "plantation", count: 9, least: 60, most: 500, like: m.among(func(i int) bool { return m.zone[i] == pineZone && m.Cover[i] != ConiferClosed }), permanent: 0.4, some: 0.4, maybe: 0.1, shade: [2]float64{5, 60}, ph: [2]float64{4.6, 6.2}},
		{name: "washland", count: 14, least: 90, most: 2200, like: m.among(func(i int) bool {
			return m.parcel[i] >= 0 && m.toBed[i] > 60 && m.toBed[i] < 330 && grazedOrPloughed(m.Cover[i])
		}), permanent: 0.15, some: 0.5, fish: 0.5, maybe: 0.3, shade: [2]float64{0, 30}, ph: [2]float64{6.8, 8}},
		{name: "village", count: 9, least: 260, most: 1300, like: func(i int) float64 { return farmed(i) * nearHamlet(i) }, permanent: 0.9, some: 0.1, fish: 0.7, maybe: 0.2, shade: [2]float64{0, 50}, ph: [2]float64{7, 8.3}},
		{name: "railway", count: 5, least: 40, most: 350, like: m.among(func(i int) bool { return m.zone[i] == railZone }), permanent: 0.4, some: 0.5, maybe: 0.2, shade: [2]float64{10, 70}, ph: [2]float64{6.6, 7.8}},
		{name: "garden", count: 66, least: 4, most: 12, like: m.among(func(i int) bool { return m.Cover[i] == Gardens }), permanent: 0.85, some: 0.12, fish: 0.38, maybe: 0.12, shade: [2]float64{0, 65}, ph: [2]float64{6.9, 8.3}},
	}
}

// among likes every cell of a set the same.
func (m *maker) among(in func(i int) bool) func(i int) float64 {
	return func(i int) float64 {
		if in(i) {
			return 1
		}
		return 0
	}
}

// nearness is 1 at the nearest of some points and falls to 0 at reach.
func (m *maker) nearness(points []orb.Point, reach float64) func(i int) float64 {
	on := make([]bool, Cols*Rows)
	for _, p := range points {
		on[at(p)] = true
	}
	far := distances(reach, func(i int) bool { return on[i] })
	return func(i int) float64 { return 1 - far[i]/reach }
}

// oxbows are what is left of a former bed where the river has moved away:
// narrow, bent, and as deep as the bed was.
func (p *ponds) oxbows() {
	rng := stream(p.m.Seed, "oxbows")
	kind := pondKind{name: "oxbow", least: 300, most: 9000, permanent: 0.75, some: 0.6, fish: 0.6, maybe: 0.3, shade: [2]float64{5, 55}, ph: [2]float64{6.7, 7.8}}
	var path []orb.Point
	kept := 0
	for _, q := range p.m.river.former {
		long := 8 + rng.IntN(10) // points of riverSpacing
		if inside(q, 80) && p.clear(q) && len(path) < long {
			path = append(path, q)
			continue
		}
		if len(path) >= 8 && kept < 9 && chance(rng, 0.6) {
			if ring := thick(path, 8); ring != nil && p.add(rng, kind, path[len(path)/2], ring) {
				kept++
			}
		}
		path = nil
	}
}

// clear tells whether a point keeps away from the river as it is now, and from
// all but meadow and fen.
func (p *ponds) clear(q orb.Point) bool {
	i := at(q)
	return p.m.toBed[i] > 45 && (p.m.zone[i] == farmland || p.m.zone[i] == fenZone) && p.m.road[i] == 0
}

// thick turns a line into a strip that tapers to its ends; nil where the strip
// would fold over itself.
func thick(path []orb.Point, half float64) orb.Ring {
	var left, right []orb.Point
	for i := 1; i < len(path)-1; i++ {
		a, b := path[i-1], path[i+1]
		l := apart(a, b)
		if l < 10 {
			return nil
		}
		w := half * math.Sqrt(math.Sin(math.Pi*float64(i)/float64(len(path)-1)))
		nx, ny := -(b[1]-a[1])/l*w, (b[0]-a[0])/l*w
		left = append(left, onMap(orb.Point{path[i][0] + nx, path[i][1] + ny}))
		right = append(right, onMap(orb.Point{path[i][0] - nx, path[i][1] - ny}))
	}
	ring := orb.Ring{onMap(path[0])}
	ring = append(ring, left...)
	ring = append(ring, onMap(path[len(path)-1]))
	for i := len(right) - 1; i >= 0; i-- {
		ring = append(ring, right[i])
	}
	ring = append(ring, ring[0])
	if planar.Area(ring) < 0 {
		ring.Reverse()
	}
	return ring
}
