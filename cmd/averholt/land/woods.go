package land

import "github.com/paulmach/orb"

// claimWoods sets aside the woods that are older than the fields: on steep banks,
// along brooks, and on heavy land that was never worth the plough.
func (m *maker) claimWoods() {
	m.steepWoods()
	m.streamWoods()
	m.oldWoods()
}

// steepWoods hang on banks that a plough or a scythe cannot work.
func (m *maker) steepWoods() {
	steep := fullLattice()
	copy(steep.v, m.slope)
	steep.blur(1, 2)
	wooded := m.field("steep woods", 900, 3)
	for i := range m.zone {
		if m.free(i) && m.toTown[i] > 60 && m.toRoad[i] > 15 && steep.v[i]+0.06*wooded(i) > 0.115 && m.ground.v[i] < 150 {
			m.zone[i] = woodZone
		}
	}
}

// streamWoods line the brooks here and there, and run up into their wet heads.
func (m *maker) streamWoods() {
	lined := m.field("stream woods", 1100, 3)
	for i := range m.zone {
		if !m.free(i) || m.toBed[i] < 150 || m.toTown[i] < 40 {
			continue
		}
		reach := 75*lined(i) + 35*ramp(0.6, 0.9, m.wet[i]) - 22
		if m.toRill[i] < reach && m.toRill[i] < 120 {
			m.zone[i] = woodZone
		}
	}
}

// oldWoods are a few dozen woods of 3 to 38 ha, on clay and on slopes.
func (m *maker) oldWoods() {
	rng := stream(m.Seed, "old woods")
	for n, tries := 0, 0; n < 46 && tries < 5000; tries++ {
		p := orb.Point{between(rng, 300, width-300), between(rng, 300, height-300)}
		ha := 3 + 35*rng.Float64()*rng.Float64()*rng.Float64()
		turn, wide := between(rng, 0, 3.1), between(rng, 0.7, 1.6)
		i := at(p)
		like := 0.25 + 5*m.slope[i]
		if m.Soil[i] == Clay {
			like += 0.3
		}
		if !m.free(i) || m.toTown[i] < 350 || m.toRoad[i] < 90 || m.toBed[i] < 500 || !chance(rng, like) {
			continue
		}
		b := blob{wide: wide, tall: 1, turn: turn, ragged: 0.8, scale: 520}
		free := func(i int) bool { return m.free(i) && m.toRoad[i] > 20 }
		m.claim(woodZone, m.grow(p, cellsOf(ha), free, m.outline(p, ha, b)))
		n++
	}
}

// coverWoods plants the woods: mostly broadleaf, some coniferised, with scrub
// where the edge has spread.
func (m *maker) coverWoods() {
	pine, open := m.field("wood pine", 800, 2), m.field("wood open", 240, 3)
	rim := m.rim(woodZone)
	for _, i := range m.cellsIn(woodZone) {
		switch {
		case pine(i) > 0.42 && m.toRill[i] > 80:
			m.Cover[i] = ConiferClosed
		case open(i) > 0.42 && rim[i] < 60:
			m.Cover[i] = Scrub
		case open(i) < -0.45 && m.toRill[i] < 120 && m.wet[i] > 0.6:
			m.Cover[i] = RoughGrass
		default:
			m.Cover[i] = BroadleafWood
		}
	}
}
