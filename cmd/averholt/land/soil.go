package land

// layering decides the soil of a cell from what lies under it.
type layering struct {
	m     *maker
	edge  *noise
	patch *noise
}

// laySoil gives every cell its soil: rock on the hill, peat in the fen's basin,
// sand in the west, loam and clay in the east. Bogs turn to peat later.
func (m *maker) laySoil() {
	l := layering{m: m, edge: newNoise(m.Seed, "soil edge"), patch: newNoise(m.Seed, "soil patch")}
	for i := range m.Soil {
		x, y := m.ground.place(i)
		m.Soil[i] = l.at(i, x, y)
	}
	tidy(m.Soil, 24, func(Soil) bool { return false })
}

func (l layering) at(i int, x, y float64) Soil {
	m := l.m
	z, off := m.ground.v[i], m.river.off(x, y)
	rough := l.edge.rough(x/1400, y/1400, 4, 0.5)
	switch {
	case m.relief.skarn.hard(x, y) > 0.35+0.3*rough && z > 105:
		return Rock
	case m.relief.basin(x, y) > 0.5+0.25*rough && z < m.river.floor(y)+2.6:
		return Peat
	case m.toBed[i] < 0.8*m.river.plain(y):
		return l.alluvium(y, rough)
	case off+1500*rough < -1500 || off < 0 && z > 95:
		if m.wet[i] > 0.62 && m.toRill[i] < 130 || l.patch.rough(x/2300+9, y/2300, 4, 0.5) > 0.5 {
			return Loam
		}
		return Sand
	case off < 0 && m.toBed[i] > 300:
		return Loam
	}
	return l.vale(i, x, y, rough)
}

// alluvium is what the river left: loam in the north, heavier towards the fen.
func (l layering) alluvium(y, rough float64) Soil {
	if y+3000*rough > 10500 {
		return Clay
	}
	return Loam
}

// vale is the soil of the east: clay low down and on the flats, loam on the
// better drained rises, a few pockets of sand on the terrace by the river.
func (l layering) vale(i int, x, y, rough float64) Soil {
	m := l.m
	above := m.ground.v[i] - m.river.floor(y)
	patch := l.patch.rough(x/1900, y/1900, 4, 0.5)
	switch {
	case above < 22 && m.toBed[i] < 1500 && patch > 0.34:
		return Sand
	case 0.022*(above-26)+0.55*patch+0.3*rough-0.7*m.wet[i]+0.2 > 0:
		return Loam
	}
	return Clay
}

// turnToPeat lays peat where plants have made it: under bog and reed, and under
// the wettest of the wet heath. The pits were dug where there is sand.
func (m *maker) turnToPeat() {
	for i, c := range m.Cover {
		switch {
		case c == Bog, c == FenReedbed && (m.zone[i] == fenZone || m.zone[i] == carrZone), c == WetHeath && m.wet[i] > 0.72:
			m.Soil[i] = Peat
		case m.zone[i] == pitZone:
			m.Soil[i] = Sand
		}
	}
	tidy(m.Soil, 4, func(s Soil) bool { return s == Peat })
}
