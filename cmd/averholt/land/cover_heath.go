package land

// coverHeath dresses a heath: bog in the wettest hollows, wet heath about it,
// birch and gorse creeping in from the edge, bracken, and heather on the rest.
func (m *maker) coverHeath(z zone, bog, wet float64) {
	cells := m.cellsIn(z)
	rim := m.rim(z)
	broad, fine := m.field("heath wet", 700, 3), m.field("heath fine", 230, 3)
	moist := func(i int) float64 { return m.wet[i] + 0.25*ramp(0, 1, m.hollow[i]) + 0.2*broad(i) + 0.06*fine(i) }
	wood, gorse, bracken, pine := m.field("heath birch", 420, 3), m.field("heath gorse", 260, 3), m.field("heath bracken", 380, 3), m.field("heath pine", 500, 3)
	edge := func(i int) float64 { return ramp(450, 0, rim[i]) }

	cells = m.dress(cells, Bog, bog, moist)
	cells = m.dress(cells, BroadleafWood, 0.028, func(i int) float64 { return wood(i) + 0.8*edge(i) - 0.4*m.wet[i] })
	cells = m.dress(cells, ConiferOpen, 0.014, func(i int) float64 { return pine(i) + 0.3*edge(i) })
	cells = m.dress(cells, Scrub, 0.045, func(i int) float64 { return gorse(i) + 0.45*edge(i) + 2*m.slope[i] })
	cells = m.dress(cells, RoughGrass, 0.038, func(i int) float64 { return bracken(i) + 0.4*edge(i) - 0.3*m.wet[i] })
	cells = m.dress(cells, WetHeath, wet, moist)
	m.all(cells, DryHeath)
}

// coverHill dresses Skarn Tops: bare rock on crests and scarps, thin heath
// between, a bog or two in the saddles.
func (m *maker) coverHill() {
	cells := m.cellsIn(hillZone)
	rim := m.rim(hillZone)
	rock, thin, grass := m.field("hill rock", 330, 4), m.field("hill heath", 300, 3), m.field("hill grass", 350, 3)
	high := func(i int) float64 { return (m.ground.v[i] - 150) / 60 }
	cells = m.dress(cells, Bog, 0.025, func(i int) float64 { return m.wet[i] + 0.2*thin(i) - 2*m.slope[i] })
	cells = m.dress(cells, RockBarren, 0.47, func(i int) float64 { return 2.4*m.slope[i] + 0.55*rock(i) + 0.3*high(i) - 0.5*m.wet[i] })
	cells = m.dress(cells, Scrub, 0.07, func(i int) float64 { return thin(i) + 0.6*ramp(250, 0, rim[i]) - high(i) })
	cells = m.dress(cells, RoughGrass, 0.13, func(i int) float64 { return grass(i) + 0.4*ramp(250, 0, rim[i]) })
	cells = m.dress(cells, WetHeath, 0.07, func(i int) float64 { return m.wet[i] + 0.1*thin(i) })
	m.all(cells, DryHeath)
}

// coverPits dresses the sand pits: bare sand in the workings, older parts grown
// over.
func (m *maker) coverPits() {
	cells := m.cellsIn(pitZone)
	rim := m.rim(pitZone)
	dug, over := m.field("pits dug", 240, 3), m.field("pits scrub", 170, 3)
	cells = m.dress(cells, SandPit, 0.56, func(i int) float64 { return dug(i) + 0.7*ramp(0, 160, rim[i]) })
	cells = m.dress(cells, Scrub, 0.32, func(i int) float64 { return over(i) + 0.3*ramp(120, 0, rim[i]) })
	cells = m.dress(cells, DryHeath, 0.5, dug)
	m.all(cells, RoughGrass)
}
