package land

import (
	"math"

	"github.com/paulmach/orb"
)

// layTracks draws the tracks over the heaths, the hill and the pits, and the
// rides of the plantation.
func (m *maker) layTracks(p *plantation) {
	bend := newNoise(m.Seed, "tracks")
	net := newNetwork(m.ground, 0.09, func(q orb.Point) float64 {
		i := at(q)
		cost := math.Exp(1.1 * bend.rough(q[0]/360, q[1]/360, 3, 0.6))
		switch {
		case m.zone[i] == waterZone || m.Cover[i] == Bog || m.Cover[i] == OpenWater:
			return cost * 9
		case m.road[i] > 0:
			return 0.9
		}
		return cost * (1 + 2*ramp(0.45, 0.8, m.wet[i]))
	})
	m.cross(net, "Great Ling Common track", heathZone, 11)
	m.cross(net, "Emberlow Heath track", emberZone, 4)
	m.cross(net, "Skarn Tops path", hillZone, 5)
	m.cross(net, "Dunstall Pits track", pitZone, 4)
	p.rides()
}

// cross lays tracks over a zone from one side to the other.
func (m *maker) cross(net *network, name string, z zone, tracks int) {
	rng := stream(m.Seed, name)
	rim := distances(500, func(i int) bool { return m.zone[i] == z })
	var gates []int
	for i, far := range rim {
		onRoad := m.road[i] > 0 && far < 400
		if onRoad || far == Cell && m.toRoad[i] > 500 && i%7 == 0 {
			gates = append(gates, i)
		}
	}
	if len(gates) < 2 {
		return
	}
	for n := 0; n < tracks; n++ {
		a := place(gates[rng.IntN(len(gates))])
		b := a
		for range 30 {
			if q := place(gates[rng.IntN(len(gates))]); apart(a, q) > apart(a, b) && chance(rng, 0.5) {
				b = q
			}
		}
		for _, path := range net.build(net.route(a, b), 2) {
			m.keepIn(name, path, rim)
		}
	}
}

// keepIn keeps the parts of a track that lie in the zone or near it.
func (m *maker) keepIn(name string, path []orb.Point, rim []float64) {
	var part []orb.Point
	for _, q := range append(respaced(path, 20), orb.Point{-1, -1}) {
		if inside(q, 0) && rim[at(q)] < 420 && m.road[at(q)] == 0 {
			part = append(part, q)
			continue
		}
		if len(part) > 5 {
			m.Tracks = append(m.Tracks, Line{name, lineOnMap(simplified(part, 2))})
		}
		part = nil
	}
}

// rides draws the rides of the plantation as lines.
func (p *plantation) rides() {
	for axis, lines := range [2][]float64{p.us, p.vs} {
		for n, at := range lines {
			if p.rank(n+1, axis) == 0 {
				continue
			}
			p.draw(func(s float64) orb.Point {
				if axis == 0 {
					return p.back(at+12, s)
				}
				return p.back(s, at+12)
			})
		}
	}
}

func (p *plantation) draw(point func(s float64) orb.Point) {
	var first, last orb.Point
	open := false
	for s := -4300.0; s <= 4300; s += 12.5 {
		q := point(s)
		in := inside(q, 0) && p.m.zone[at(q)] == pineZone
		if in && !open {
			first, open = q, true
		}
		if !in && open {
			open = false
			if apart(first, last) > 150 {
				p.m.Tracks = append(p.m.Tracks, Line{"Kelder ride", lineOnMap([]orb.Point{first, last})})
			}
		}
		last = q
	}
}
