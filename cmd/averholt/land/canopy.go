package land

// canopyOf is the usual share of the ground under trees in a class, and how far
// it strays.
var canopyOf = [covers + 1][2]float64{
	DryHeath: {0.04, 0.06}, WetHeath: {0.03, 0.05}, RockBarren: {0.01, 0.02}, FenReedbed: {0.04, 0.07}, Bog: {0.02, 0.03},
	OpenWater: {0, 0}, BroadleafWood: {0.84, 0.13}, ConiferClosed: {0.88, 0.08}, ConiferOpen: {0.27, 0.17}, Scrub: {0.38, 0.2},
	RoughGrass: {0.05, 0.07}, ImprovedGrass: {0.02, 0.03}, Arable: {0.004, 0.01}, Gardens: {0.2, 0.13}, Built: {0.04, 0.05},
	SandPit: {0.02, 0.04}, RailVerge: {0.22, 0.2},
}

// spreadCanopy fills the canopy: the class's share, patchy, a little of the
// neighbours' where crowns overhang.
func (m *maker) spreadCanopy() {
	patch := m.field("canopy", 140, 3)
	crowns := fullLattice()
	for i, c := range m.Cover {
		usual := canopyOf[c]
		crowns.v[i] = clamp(usual[0]+1.6*usual[1]*patch(i), 0, 1)
	}
	own := append([]float64(nil), crowns.v...)
	crowns.blur(1, 1)
	for i := range m.Canopy {
		v := 0.85*own[i] + 0.15*crowns.v[i]
		if m.Cover[i] == OpenWater {
			v *= 0.3
		}
		m.Canopy[i] = float32(v)
	}
}
