package land

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// pondKind is how ponds of a kind come about: how many, how large, where, and
// what their water is like.
type pondKind struct {
	name            string
	count           int
	least, most     float64 // m²
	seldom          bool    // sizes crowd at the lower end
	like            func(i int) float64
	permanent, some float64 // shares; the rest dries in most years
	fish, maybe     float64 // shares of the permanent that have fish, or may
	shade           [2]float64
	ph              [2]float64
}

// dig makes the ponds.
func (m *maker) dig() {
	p := &ponds{m: m}
	p.meres()
	p.oxbows()
	for _, k := range m.pondKinds() {
		p.scatter(k)
	}
	for i := range m.Ponds {
		m.Ponds[i].ID = fmt.Sprintf("P%03d", i+1)
		m.flood(m.Ponds[i])
	}
}

type ponds struct {
	m     *maker
	where []orb.Point // and how far each reaches
	reach []float64
}

// scatter puts the ponds of a kind where they are likeliest: each takes the best
// of several places drawn.
func (p *ponds) scatter(k pondKind) {
	rng := stream(p.m.Seed, "ponds "+k.name)
	var places []int
	for i := range p.m.Cover {
		if k.like(i) > 0 {
			places = append(places, i)
		}
	}
	for n, tries := 0, 0; n < k.count && tries < 40*k.count && len(places) > 0; tries++ {
		i := places[rng.IntN(len(places))]
		for range 3 {
			if j := places[rng.IntN(len(places))]; k.like(j) > k.like(i) {
				i = j
			}
		}
		u := rng.Float64()
		if k.seldom {
			u *= u
		}
		area := k.least * math.Pow(k.most/k.least, u)
		middle := place(i)
		middle[0], middle[1] = middle[0]+between(rng, -11, 11), middle[1]+between(rng, -11, 11)
		if p.add(rng, k, middle, ringAbout(rng, middle, area)) {
			n++
		}
	}
}

// add keeps a pond where its water meets no other and no river, road or house.
func (p *ponds) add(rng *rand.Rand, k pondKind, middle orb.Point, ring orb.Ring) bool {
	reach := 0.0
	for _, q := range ring {
		reach = max(reach, apart(q, onMap(middle)))
	}
	m := p.m
	if i := at(middle); !inside(middle, reach+5) || m.zone[i] == waterZone || k.name != "oxbow" && m.toBed[i] < reach+20 || m.Cover[i] == Built || m.road[i] > 0 && reach > 5 {
		return false
	}
	for n, q := range p.where {
		if apart(middle, q) < reach+p.reach[n]+4 {
			return false
		}
	}
	p.where, p.reach = append(p.where, middle), append(p.reach, reach)
	m.Ponds = append(m.Ponds, k.fill(rng, middle, ring))
	return true
}

// fill decides what a pond's water is like; its facts hang together: no fish
// where it dries, and fish seldom where it is acid.
func (k pondKind) fill(rng *rand.Rand, middle orb.Point, ring orb.Ring) Pond {
	area := planar.Area(ring)
	p := Pond{Kind: k.name, At: onMap(middle), Outline: orb.Polygon{ring}, AreaM2: math.Round(area*10) / 10, Permanence: MostYears, Fish: NoFish}
	p.PH = math.Round(between(rng, k.ph[0], k.ph[1])*10) / 10
	p.ShadePct = math.Round(lerp(math.Pow(rng.Float64(), 1.5), k.shade[0], k.shade[1]))
	v := rng.Float64() - 0.12*math.Log(area/math.Sqrt(k.least*k.most))/math.Log(k.most/k.least+1) // larger ones dry less
	switch {
	case v < k.permanent:
		p.Permanence = Permanent
	case v < k.permanent+k.some:
		p.Permanence = SomeYears
	}
	f := rng.Float64()
	switch {
	case p.Permanence == Permanent && f < k.fish && p.PH >= 5:
		p.Fish = PresentFish
	case p.Permanence != MostYears && f < k.fish+k.maybe && p.PH >= 5:
		p.Fish = PossibleFish
	}
	return p
}

// ringAbout is a rounded, uneven outline of an area, in grid coordinates.
func ringAbout(rng *rand.Rand, middle orb.Point, area float64) orb.Ring {
	n := clampInt(int(8+math.Sqrt(area)/5), 8, 28)
	long, turn, a, b := between(rng, 1, 1.9), between(rng, 0, math.Pi), between(rng, 0, 6.3), between(rng, 0, 6.3)
	ring := make(orb.Ring, 0, n+1)
	for k := range n {
		w := 2 * math.Pi * float64(k) / float64(n)
		r := 1 + 0.16*math.Sin(2*w+a) + 0.1*math.Sin(3*w+b) + between(rng, -0.05, 0.05)
		x, y := long*r*math.Cos(w), r*math.Sin(w)/long
		ring = append(ring, orb.Point{x*math.Cos(turn) - y*math.Sin(turn), x*math.Sin(turn) + y*math.Cos(turn)})
	}
	ring = append(ring, ring[0])
	grow := math.Sqrt(area / planar.Area(ring))
	c := onMap(middle)
	for k := range ring {
		ring[k] = orb.Point{c[0] + grow*ring[k][0], c[1] + grow*ring[k][1]}
	}
	return ring
}

// flood draws a pond into the land cover where it fills the middle of a cell
// and is large.
func (m *maker) flood(p Pond) {
	if p.AreaM2 < 1200 {
		return
	}
	b := p.Outline.Bound()
	w := m.Grid.Covering(b)
	for row := max(w.Row, 0); row < min(w.Bottom(), Rows); row++ {
		for col := max(w.Col, 0); col < min(w.Right(), Cols); col++ {
			if planar.PolygonContains(p.Outline, m.Grid.Centre(col, row)) && m.road[row*Cols+col] == 0 {
				m.Cover[row*Cols+col] = OpenWater
			}
		}
	}
}

// meres are the open waters of the fen and the carr.
func (p *ponds) meres() {
	rng := stream(p.m.Seed, "meres")
	kind := pondKind{name: "mere", least: 1e3, most: 3e5, permanent: 2, fish: 0.85, maybe: 0.15, shade: [2]float64{0, 25}, ph: [2]float64{6.8, 7.9}}
	for _, patch := range p.m.patches(func(i int) bool {
		return p.m.Cover[i] == OpenWater && (p.m.zone[i] == fenZone || p.m.zone[i] == carrZone)
	}) {
		outline := outlineOf(patch)
		if len(patch) < 5 || planar.Area(outline) < 2500 {
			continue
		}
		pond := kind.fill(rng, offMap(p.m.Grid.Centre(patch[len(patch)/2]%Cols, patch[len(patch)/2]/Cols)), outline[0])
		p.m.Ponds = append(p.m.Ponds, pond)
	}
}

// patches are the sets of cells, joined over sides, that are in a set.
func (m *maker) patches(in func(i int) bool) [][]int {
	seen := make([]bool, Cols*Rows)
	var all [][]int
	var near [8]int
	for start := range seen {
		if seen[start] || !in(start) {
			continue
		}
		seen[start] = true
		patch := []int{start}
		for n := 0; n < len(patch); n++ {
			for _, j := range around(patch[n], Cols, Rows, &near) {
				if !seen[j] && sideBySide(patch[n], j) && in(j) {
					seen[j] = true
					patch = append(patch, j)
				}
			}
		}
		slices.Sort(patch)
		all = append(all, patch)
	}
	return all
}
