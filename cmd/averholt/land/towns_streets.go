package land

import (
	"math"

	"github.com/paulmach/orb"
)

// streetGap is how far streets lie from each other, m.
const streetGap = 165.0

// layStreets lays streets over each town's ground, in a net that bends, with
// some meshes left out.
func (m *maker) layStreets() {
	for _, t := range m.towns {
		own := make(map[int]bool, len(t.cells))
		for _, i := range t.cells {
			own[i] = true
		}
		g := streetGrid{m: m, t: t, own: own, bend: newNoise(m.Seed, "streets "+t.name), turn: m.heading(t.at)}
		reach := int(1.6*math.Sqrt(t.all*1e4/math.Pi)/streetGap) + 1
		for k := -reach; k <= reach; k++ {
			g.line(float64(k), reach, false)
			g.line(float64(k), reach, true)
		}
	}
	m.rankRoads()
}

// heading is the way the greatest road takes through a place, radians.
func (m *maker) heading(p orb.Point) float64 {
	best, turn := math.Inf(1), 0.0
	for _, r := range m.Roads {
		path := m.path(r.Path)
		for i := 1; i < len(path); i++ {
			if d := apart(mix(path[i-1], path[i], 0.5), p); d < best && apart(path[i-1], path[i]) > 5 {
				best, turn = d, math.Atan2(path[i][1]-path[i-1][1], path[i][0]-path[i-1][0])
			}
		}
	}
	return turn
}

type streetGrid struct {
	m    *maker
	t    *settlement
	own  map[int]bool
	bend *noise
	turn float64
}

// point is where the net's lines u and v cross.
func (g streetGrid) point(u, v float64) orb.Point {
	sin, cos := math.Sincos(g.turn)
	a := u*streetGap + 75*g.bend.rough(u/3.2, v/3.2, 2, 0.5)
	b := v*streetGap*0.8 + 75*g.bend.rough(u/3.2+40, v/3.2-11, 2, 0.5)
	return orb.Point{g.t.at[0] + a*cos - b*sin, g.t.at[1] + a*sin + b*cos}
}

// line draws one line of the net where it lies in the town, meshes left out.
func (g streetGrid) line(k float64, reach int, across bool) {
	rng := stream(g.m.Seed, "street "+g.t.name+map[bool]string{true: "across", false: "along"}[across]+string(rune('A'+int(k)+reach)))
	var path []orb.Point
	for s := -reach; s < reach; s++ {
		open := chance(rng, 0.78)
		for n := range 5 {
			u, v := k, float64(s)+float64(n)/5
			if across {
				u, v = v, u
			}
			p := g.point(u, v)
			if i := at(p); open && inside(p, 0) && g.own[i] {
				path = append(path, p)
				continue
			}
			path = g.end(path)
		}
	}
	g.end(path)
}

func (g streetGrid) end(path []orb.Point) []orb.Point {
	if len(path) > 4 {
		traffic := 300 + 10*int(90*math.Exp(-apart(path[0], g.t.at)/600)*math.Sqrt(float64(g.t.people)/9400))
		g.m.Roads = append(g.m.Roads, Road{Name: g.t.name + " street", Class: Street, VehiclesPerDay: traffic, Path: lineOnMap(path)})
	}
	return nil
}
