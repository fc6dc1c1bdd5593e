package land

import "math"

// coverTowns builds the towns: a close core about the middle and the main roads,
// gardens around it, an estate or two at the edge, a park and the old churchyard.
func (m *maker) coverTowns() {
	busy := distances(3000, func(i int) bool { return m.road[i] >= 2 })
	ragged, green := m.field("town core", 190, 3), m.field("town green", 260, 2)
	for _, t := range m.towns {
		size := math.Sqrt(t.all * 1e4 / math.Pi)
		rest := m.dress(t.cells, Built, t.core*0.72/t.all, func(i int) float64 {
			return -apart(place(i), t.at)/size + 0.22*ragged(i) + 0.22*math.Exp(-busy[i]/70) + 0.12*math.Exp(-m.toRoad[i]/30)
		})
		edge := m.rim(townZone)
		rest = m.dress(rest, Built, t.core*0.28/t.all, func(i int) float64 { // estates and yards, in few large pieces
			return green(i) - 0.9*math.Exp(-edge[i]/120) + 0.6*math.Exp(-busy[i]/250)
		})
		rest = m.dress(rest, ImprovedGrass, 0.045, func(i int) float64 { return -green(i) + 0.2*ramp(30, 200, edge[i]) })
		rest = m.dress(rest, BroadleafWood, 0.02, func(i int) float64 { return -green(i) })
		m.all(rest, Gardens)
	}
}
