package land

// claimUpland takes the slopes of the hill above the last fields out of the
// farmland.
func (m *maker) claimUpland() {
	head := m.field("intake", 650, 3)
	for i := range m.zone {
		if m.free(i) && m.ground.v[i]+14*head(i) > 98 && m.relief.skarn.near(m.ground.place(i)) {
			m.zone[i] = slopeZone
		}
	}
}

// coverUpland dresses those slopes: bracken and rough grass, hanging oak and
// birch, thorn scrub, heather on the shoulders.
func (m *maker) coverUpland() {
	cells := m.cellsIn(slopeZone)
	oak, thorn, heather, wet := m.field("upland oak", 700, 3), m.field("upland thorn", 320, 3), m.field("upland heather", 480, 3), m.field("upland flush", 200, 2)
	high := func(i int) float64 { return ramp(95, 160, m.ground.v[i]) }
	cells = m.dress(cells, BroadleafWood, 0.24, func(i int) float64 { return oak(i) + 2.2*m.slope[i] - 0.7*high(i) + 0.3*m.wet[i] })
	cells = m.dress(cells, DryHeath, 0.22, func(i int) float64 { return heather(i) + 1.3*high(i) - 0.4*m.wet[i] })
	cells = m.dress(cells, Scrub, 0.15, func(i int) float64 { return thorn(i) + 0.8*m.slope[i] })
	cells = m.dress(cells, WetHeath, 0.04, func(i int) float64 { return m.wet[i] + 0.3*wet(i) })
	m.all(cells, RoughGrass)
}
