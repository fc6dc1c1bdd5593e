package land

// coverBanks dresses the river's banks and the brooks': rushy grass, reed, alder
// and willow in long reaches, and in places crop or pasture to the water's edge.
func (m *maker) coverBanks() {
	reach, kind := m.field("banks", 900, 3), m.field("bank kind", 420, 3)
	for i := range m.Cover {
		if !m.free(i) || !grazedOrPloughed(m.Cover[i]) {
			continue
		}
		switch k := kind(i); {
		case m.toBed[i] > 0 && m.toBed[i] < 34+55*max(0, reach(i)):
			m.Cover[i] = bankOf(k, m.Soil[i])
		case m.brook[i] && reach(i) > -0.25 || m.toRill[i] < 60 && m.wet[i] > 0.75 && reach(i) > 0.1:
			m.Cover[i] = brookside(k)
		}
	}
}

func bankOf(kind float64, soil Soil) Cover {
	switch {
	case kind > 0.3:
		return FenReedbed
	case kind < -0.42:
		return BroadleafWood
	case kind < -0.3 && soil != Peat:
		return Scrub
	}
	return RoughGrass
}

func brookside(kind float64) Cover {
	switch {
	case kind > 0.12:
		return BroadleafWood
	case kind > -0.05:
		return Scrub
	}
	return RoughGrass
}
