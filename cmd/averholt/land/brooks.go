package land

import "github.com/paulmach/orb"

// brookFrom is the area that a brook needs to run all year: clay sheds water
// that sand lets through.
const (
	brookFromClay = 0.9e6 // m²
	brookFromSand = 2.2e6
)

// findBrooks marks the cells that a brook runs through and draws each brook from
// its head to the next water.
func (m *maker) findBrooks() {
	m.brook = make([]bool, Cols*Rows)
	fed := make([]bool, Cols*Rows) // a brook comes in from above
	bed := m.bedCells()
	runs := func(i int) bool {
		x, y := m.ground.place(i)
		sandy := ramp(300, -500, m.river.off(x, y))
		return !bed[i] && m.water.area[i] > lerp(sandy, brookFromClay, brookFromSand)
	}
	for n := len(m.water.order) - 1; n >= 0; n-- {
		i := m.water.order[n]
		if runs(int(i)) {
			m.brook[i] = true
			if to := m.water.to[i]; to != i {
				fed[to] = true
			}
		}
	}
	drawn := make([]bool, Cols*Rows)
	for i := range m.brook {
		if m.brook[i] && !fed[i] {
			m.drawBrook(i, drawn)
		}
	}
}

// drawBrook follows the water down to a brook that is drawn, the river or the
// edge.
func (m *maker) drawBrook(i int, drawn []bool) {
	path := []orb.Point{place(i)}
	for !drawn[i] {
		drawn[i] = true
		to := int(m.water.to[i])
		if to == i {
			break
		}
		path = append(path, place(to))
		if !m.brook[to] {
			break // the river
		}
		i = to
	}
	if len(path) > 12 {
		m.brooks = append(m.brooks, simplified(smoothed(path, 3), 3))
	}
}
