package life

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/cmd/averholt/land"
)

// plots lays out rounded plots for reptiles on open ground of an area.
func (m *siteMaker) plots(n int, in area) {
	for try := 0; n > 0 && try < 4000; try++ {
		i := m.rng.IntN(land.Cols * land.Rows)
		at := m.ground.at(i)
		if !in(i) || rough[m.ground.d.Cover[i]] == 0 || m.ground.d.Cover[i] == land.RailVerge || m.crowded(at, 420) || m.nearEdge(at) {
			continue
		}
		radius := between(m.rng, 80, 190)
		if m.add(Site{Shape: roundish(m.rng, at, radius), Survey: reptileSite, at: at}) {
			n--
		}
	}
}

// roundish is an outline as somebody draws it round a plot: whole metres, a
// dozen corners, never crossing itself, since it goes once around its middle.
func roundish(rng *rand.Rand, at orb.Point, radius float64) orb.Polygon {
	const corners = 13
	stretch, turn := between(rng, 0.65, 1), between(rng, 0, math.Pi)
	ring := make(orb.Ring, 0, corners+1)
	for k := range corners {
		angle := 2 * math.Pi * (float64(k) + between(rng, -0.25, 0.25)) / corners
		d := radius * between(rng, 0.82, 1.12)
		x, y := d*math.Cos(angle), d*stretch*math.Sin(angle)
		ring = append(ring, wholeMetres(orb.Point{
			at[0] + x*math.Cos(turn) - y*math.Sin(turn), at[1] + x*math.Sin(turn) + y*math.Cos(turn),
		}))
	}
	return orb.Polygon{append(ring, ring[0])}
}

func (m *siteMaker) crowded(at orb.Point, within float64) bool {
	for _, s := range m.made {
		if apart(s.at, at) < within {
			return true
		}
	}
	return false
}

// ponds lays out sites round ponds that fit.
func (m *siteMaker) ponds(n int, survey string, fits func(land.Pond) bool) {
	for _, k := range m.rng.Perm(len(m.ground.d.Ponds)) {
		p := m.ground.d.Ponds[k]
		if n == 0 || !fits(p) || m.crowded(p.At, 300) || m.nearEdge(p.At) {
			continue
		}
		if m.add(Site{Shape: roundish(m.rng, p.At, math.Sqrt(p.AreaM2/math.Pi)+30), Survey: survey, at: wholeMetres(p.At)}) {
			n--
		}
	}
}

// crossings lays out stretches of road where toads cross: between a wood and
// water, on roads that one may walk along.
func (m *siteMaker) crossings(n int) {
	var roads []land.Line
	for _, r := range m.ground.d.Roads {
		if r.Class == land.Lane || r.Class == land.Main {
			roads = append(roads, land.Line{Name: r.Name, Path: r.Path})
		}
	}
	m.transects(roads, n, 700, toadSite)
}

// transects lays out stretches of lines, toads' where toads are most likely.
func (m *siteMaker) transects(lines []land.Line, n int, length float64, survey string) {
	toads := m.truthOf(speciesNamed("common_toad")).Psi
	for try := 0; n > 0 && try < 3000 && len(lines) > 0; try++ {
		line := lines[m.rng.IntN(len(lines))]
		whole := planar.Length(line.Path)
		if whole < length {
			continue
		}
		path := stretch(line.Path, between(m.rng, 0, whole-length), length)
		at := wholeMetres(path[len(path)/2])
		i, ok := m.cellOf(at)
		if !ok || m.nearEdge(at) || m.crowded(at, 600) || survey == toadSite && m.rng.Float64() > 1.4*float64(toads[i]) {
			continue
		}
		if m.add(Site{Shape: path, Survey: survey, at: at}) {
			n--
		}
	}
}

// stretch cuts a piece out of a line, in whole metres, with a point at its
// middle.
func stretch(line orb.LineString, from, length float64) orb.LineString {
	steps := int(length / 50)
	out := make(orb.LineString, 0, steps+1)
	for k := range steps + 1 {
		p, _ := planarAt(line, from+length*float64(k)/float64(steps))
		if p = wholeMetres(p); len(out) == 0 || out[len(out)-1] != p {
			out = append(out, p)
		}
	}
	return out
}

// planarAt is the point of a line so many metres along it.
func planarAt(line orb.LineString, along float64) (orb.Point, bool) {
	for i := range len(line) - 1 {
		d := apart(line[i], line[i+1])
		if along <= d && d > 0 {
			f := along / d
			return orb.Point{line[i][0] + f*(line[i+1][0]-line[i][0]), line[i][1] + f*(line[i+1][1]-line[i][1])}, true
		}
		along -= d
	}
	return line[len(line)-1], false
}

// add keeps a site that lies wholly in the district.
func (m *siteMaker) add(s Site) bool {
	g := m.ground.d.Grid
	district, b := g.Bound(g.Window()), s.Shape.Bound()
	if !district.Contains(b.Min) || !district.Contains(b.Max) {
		return false
	}
	m.made = append(m.made, s)
	return true
}

// promising tells whether people who know the species would look at a pond: its
// chance to be there is at least so much.
func (m *siteMaker) promising(id string, least float32) func(land.Pond) bool {
	psi := m.truthOf(speciesNamed(id)).Psi
	return func(p land.Pond) bool {
		i, ok := m.cellOf(p.At)
		return ok && psi[i] >= least
	}
}
