package land

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

// Traffic of the two roads with a name, vehicles a day.
const (
	trunkTraffic = 14000
	mainTraffic  = 4200
)

// roadBuilder lays roads one after the other; later ones join earlier ones.
type roadBuilder struct {
	m     *maker
	rng   *rand.Rand
	names []string
}

// layRoads builds the trunk road, the main road, the lanes between towns and
// hamlets, and the lanes out of the district.
func (m *maker) layRoads() {
	m.network = newNetwork(m.ground, 0.055, m.going())
	b := &roadBuilder{m: m, rng: stream(m.Seed, "roads"), names: laneNames(m.Seed)}
	town := m.towns
	b.trunk()
	b.road("Brackenford-Sallowby road", Main, mainTraffic, 4, town[0].at, town[1].at)
	b.lanes()
	m.rankRoads()
}

// going is what a metre of road costs on level ground: more over water and
// through fen, and unevenly everywhere, which makes lanes bend.
func (m *maker) going() func(p orb.Point) float64 {
	bend := newNoise(m.Seed, "lanes")
	dear := [zones]float64{heathZone: 1.1, emberZone: 1.2, hillZone: 3, fenZone: 14, carrZone: 14, pitZone: 9, pineZone: 1.6, waterZone: 9}
	return func(p orb.Point) float64 {
		i := at(p)
		cost := math.Exp(0.75 * bend.rough(p[0]/520, p[1]/520, 3, 0.6))
		if d := dear[m.zone[i]]; d > 0 {
			cost *= d
		}
		if m.toBed[i] < 50 {
			return cost * 9
		}
		if m.Soil[i] == Peat {
			cost *= 2.5
		}
		return cost * (1 + 0.9*ramp(0.45, 0.8, m.wet[i]))
	}
}

// trunk takes the T9 from the west edge over Emberlow to Brackenford and on to
// the east edge.
func (b *roadBuilder) trunk() {
	m := b.m
	bridge := orb.Point{m.river.axis(7000), 7000}
	way := []orb.Point{{10, 5750}, {4300, 5450}, emberlowAt, bridge, m.towns[0].at, {20200, 8600}, {width - 10, 9100}}
	b.road("Trunk road T9", Trunk, trunkTraffic, 8, way...)
}

// road builds a road through points in turn, as one line.
func (b *roadBuilder) road(name string, class RoadClass, traffic, smooth int, through ...orb.Point) {
	nodes := []int{nodeAt(through[0])}
	for i := 1; i < len(through); i++ {
		leg := b.m.network.route(through[i-1], through[i])
		nodes = append(nodes, leg[1:]...)
	}
	for _, path := range b.m.network.build(nodes, smooth) {
		b.add(name, class, traffic, path)
	}
}

func (b *roadBuilder) add(name string, class RoadClass, traffic int, path []orb.Point) {
	b.m.Roads = append(b.m.Roads, Road{Name: name, Class: class, VehiclesPerDay: traffic, Path: lineOnMap(path)})
}

// lanes joins every two places that have no third between them (Gabriel and
// Sokal 1969, Syst. Zool. 18:259-278), but for some of the longer ones.
func (b *roadBuilder) lanes() {
	ends := b.m.laneEnds()
	for i := range ends {
		for j := range i {
			far := apart(ends[i], ends[j])
			if !inside(ends[i], 50) && !inside(ends[j], 50) {
				continue // what lies beyond the edge is not joined here
			}
			if !between3(ends, i, j) || far > 5200 || far > 2600 && chance(b.rng, 0.35) {
				continue
			}
			b.lane(ends[i], ends[j])
		}
	}
}

// between3 tells whether no third place lies in the circle over two.
func between3(ends []orb.Point, i, j int) bool {
	middle, reach := mix(ends[i], ends[j], 0.5), apart(ends[i], ends[j])/2
	for k, p := range ends {
		if k != i && k != j && apart(p, middle) < reach {
			return false
		}
	}
	return true
}

func (b *roadBuilder) lane(from, to orb.Point) {
	nodes := b.m.network.route(from, to)
	for _, path := range b.m.network.build(nodes, 3) {
		b.add(b.name(), Lane, b.traffic(path), path)
	}
}

// traffic of a lane is more by a town than far from one: 150 to 900 a day.
func (b *roadBuilder) traffic(path []orb.Point) int {
	pull := 0.0
	for _, t := range b.m.towns {
		far := apart(path[len(path)/2], t.at)
		pull = max(pull, math.Sqrt(float64(t.people)/9400)*math.Exp(-far/2600))
	}
	v := 150 + 750*clamp(0.15+0.8*pull+between(b.rng, -0.15, 0.25), 0, 1)
	return int(v/10) * 10
}

func (b *roadBuilder) name() string {
	name := b.names[0]
	b.names = append(b.names[1:], name) // there are more lanes than names
	return name
}

// laneEnds are the places that lanes join: towns, hamlets and ways out.
func (m *maker) laneEnds() []orb.Point {
	var ends []orb.Point
	for _, t := range m.towns {
		ends = append(ends, t.at)
	}
	ends = append(ends, m.hamlets...)
	rng := stream(m.Seed, "ways out")
	for side := range 4 {
		span := width
		if side%2 == 1 {
			span = height
		}
		for along := between(rng, 900, 2400); along < span-600; along += between(rng, 2900, 5200) {
			ends = append(ends, [4]orb.Point{{along, 10}, {width - 10, along}, {along, height - 10}, {10, along}}[side])
		}
	}
	return ends
}

// rankRoads marks the cells that roads pass and how far every cell is from one.
func (m *maker) rankRoads() {
	m.road = make([]uint8, Cols*Rows)
	rank := map[RoadClass]uint8{Trunk: 3, Main: 2, Lane: 1, Street: 1}
	for _, r := range m.Roads {
		for _, i := range cellsAlong(m.path(r.Path)) {
			m.road[i] = max(m.road[i], rank[r.Class])
		}
	}
	m.toRoad = distances(5000, func(i int) bool { return m.road[i] > 0 })
}

func (m *maker) path(line orb.LineString) []orb.Point {
	out := make([]orb.Point, len(line))
	for i, p := range line {
		out[i] = offMap(p)
	}
	return out
}
