package land

import (
	"math"

	"github.com/paulmach/orb"
)

// claimEmberlow sets the three fragments of Emberlow aside on both sides of the
// trunk road: a west and an east block, and a small one across the road.
func (m *maker) claimEmberlow() {
	road, along := m.onTrunk(emberlowAt)
	across := orb.Point{-along[1], along[0]}
	from := func(a, c float64) orb.Point {
		return orb.Point{road[0] + a*along[0] + c*across[0], road[1] + a*along[1] + c*across[1]}
	}
	for _, part := range []struct {
		at orb.Point
		ha float64
	}{{from(-720, 450), 0.46 * emberlowHa}, {from(560, 400), 0.33 * emberlowHa}, {from(-60, -330), 0.21 * emberlowHa}} {
		apart := distances(200, func(i int) bool { return m.zone[i] == emberZone })
		free := func(i int) bool { return m.free(i) && m.toRoad[i] > 20 && apart[i] > 90 }
		b := blob{wide: 1.3, tall: 0.9, turn: math.Atan2(along[1], along[0]), ragged: 0.6, scale: 700}
		m.claim(emberZone, m.grow(m.nearestFree(part.at, free), cellsOf(part.ha), free, m.outline(part.at, part.ha, b)))
	}
}

// onTrunk is the point of the trunk road nearest to p and the way it takes
// there.
func (m *maker) onTrunk(p orb.Point) (nearest, along orb.Point) {
	best := math.Inf(1)
	for _, r := range m.Roads {
		if r.Class != Trunk {
			continue
		}
		path := respaced(m.path(r.Path), 25)
		for i := 2; i+2 < len(path); i++ {
			if d := apart(path[i], p); d < best {
				l := apart(path[i-2], path[i+2])
				best, nearest = d, path[i]
				along = orb.Point{(path[i+2][0] - path[i-2][0]) / l, (path[i+2][1] - path[i-2][1]) / l}
			}
		}
	}
	return nearest, along
}

// nearestFree is the middle of the free cell nearest to a point.
func (m *maker) nearestFree(p orb.Point, free func(i int) bool) orb.Point {
	best, nearest := math.Inf(1), p
	for i := range m.zone {
		if q := place(i); apart(p, q) < best && free(i) {
			best, nearest = apart(p, q), q
		}
	}
	return nearest
}
