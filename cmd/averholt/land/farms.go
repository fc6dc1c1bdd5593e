package land

import "github.com/paulmach/orb"

// siteFarms puts farmyards on the farmland, near lanes or up a drive, and never
// where the river floods.
func (m *maker) siteFarms() {
	rng := stream(m.Seed, "farms")
	var yards []orb.Point
	for range 6000 {
		p := orb.Point{between(rng, 150, width-150), between(rng, 150, height-150)}
		like := ramp(900, 60, m.toRoad[at(p)])
		i := at(p)
		if m.parcel[i] < 0 || !chance(rng, like) || m.toBed[i] < 1.1*m.river.plain(p[1]) || m.slope[i] > 0.11 || m.wet[i] > 0.66 ||
			m.Soil[i] == Peat || m.toRoad[i] < 45 || m.toTown[i] < 200 || m.ground.v[i] > 105 {
			continue
		}
		if nearAny(p, yards, 640) || nearAny(p, m.hamlets, 280) {
			continue
		}
		yards = append(yards, p)
		m.Farmyards = append(m.Farmyards, onMap(p))
	}
	m.drives(yards)
	m.coverFarms(yards)
}

func nearAny(p orb.Point, others []orb.Point, reach float64) bool {
	for _, q := range others {
		if apart(p, q) < reach {
			return true
		}
	}
	return false
}

// drives join the yards that lie back from the road to it.
func (m *maker) drives(yards []orb.Point) {
	ways := m.network.fromBuilt()
	for _, p := range yards {
		if m.toRoad[at(p)] < 90 {
			continue
		}
		nodes := ways.back(nodeAt(p))
		for _, path := range m.network.build(nodes, 3) {
			m.Tracks = append(m.Tracks, Line{"Farm track", lineOnMap(append(path, p))})
		}
	}
}

// coverFarms builds the yards, with a garden or an orchard beside most.
func (m *maker) coverFarms(yards []orb.Point) {
	rng := stream(m.Seed, "yards")
	var near [8]int
	for _, p := range yards {
		i := at(p)
		m.Cover[i] = Built
		beside := around(i, Cols, Rows, &near)
		for k, n := 0, rng.IntN(3); k < n; k++ {
			m.yardCell(beside[rng.IntN(4)], Built)
		}
		m.yardCell(beside[rng.IntN(len(beside))], Gardens)
		if chance(rng, 0.4) {
			m.yardCell(beside[rng.IntN(len(beside))], Scrub)
		}
	}
}

func (m *maker) yardCell(i int, c Cover) {
	if grazedOrPloughed(m.Cover[i]) {
		m.Cover[i] = c
	}
}

// growHamlets builds a few houses with gardens about each hamlet's crossing.
func (m *maker) growHamlets() {
	rng := stream(m.Seed, "hamlet houses")
	ragged := m.field("hamlet edges", 130, 2)
	for _, h := range m.hamlets {
		size := 6 + rng.IntN(16)
		free := func(i int) bool { return m.free(i) && m.toRill[i] > 30 || apart(place(i), h) < 40 }
		cells := m.grow(h, size, free, func(i int) float64 { return apart(place(i), h) + 1.3*m.toRoad[i] + 60*ragged(i) })
		m.all(cells, Gardens)
		m.all(cells[:1+len(cells)/6], Built)
		m.claim(townZone, cells)
	}
}
