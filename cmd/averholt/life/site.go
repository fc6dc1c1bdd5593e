package life

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/cmd/averholt/geo"
	"tussock/cmd/averholt/land"
)

// Site is a place where a visit could be made.
type Site struct {
	ID, Name   string
	Shape      orb.Geometry // polygon or line
	Survey     string       // which way of looking fits
	Habitat    land.Cover
	Access     string // open, permit or private
	Permission string // unknown, asked, yes or no
	Until      string // the last day of a permission; empty where there is no end, or none
	Hazards    []string

	at    orb.Point // its middle
	cells []int     // that a visit looks at
}

// The surveys that a site is laid out for.
const (
	reptileSite = "reptile walk"
	pondSite    = "pond torching"
	poolSite    = "natterjack night"
	toadSite    = "toad crossing"
)

// siteMaker lays out sites that keep apart.
type siteMaker struct {
	*Life
	rng     *rand.Rand
	made    []Site
	numbers map[string]int // of the sites at one place
	adders  area
}

// sites lays out the candidate sites of the coming season.
func (l *Life) sites() []Site {
	m := &siteMaker{Life: l, rng: stream(l.Seed, "sites"), numbers: map[string]int{}, adders: l.whereAddersMayBe()}
	for _, p := range [...]struct {
		place string
		n     int
	}{{"Great Ling Common", 13}, {"Emberlow Heath", 5}, {"Skarn Tops", 4}, {"Kelder Plantation", 6}, {"Mirkwater Fen", 5}, {"Dunstall Pits", 3}, {"Sedgeley Carr", 2}} {
		m.plots(p.n, m.ground.place(p.place))
	}
	m.plots(5, whole)
	m.transects(m.ground.d.Railway, 6, 600, reptileSite)
	m.ponds(4, poolSite, m.promising("natterjack", 0.2))
	m.ponds(3, poolSite, func(p land.Pond) bool { return p.Permanence != land.Permanent && p.PH > 5 && p.ShadePct < 40 })
	m.ponds(9, pondSite, m.promising("great_crested_newt", 0.3))
	m.ponds(15, pondSite, func(p land.Pond) bool { return p.AreaM2 >= 60 && p.Permanence != land.MostYears })
	m.crossings(10)
	for i := range m.made {
		m.finish(i)
	}
	return m.made
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

// whereAddersMayBe is every cell in a drawn range of the adder, the old one too:
// a hazard is not ruled out by a range.
func (l *Life) whereAddersMayBe() area {
	var where area = func(int) bool { return false }
	for _, r := range l.Ranges {
		if r.Species.ID == "adder" {
			where = where.or(marked(l.ground.within(r.Outline)))
		}
	}
	return where
}

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

// finish gives a site its id, name, cells, habitat, access and hazards.
func (m *siteMaker) finish(i int) {
	s := &m.made[i]
	s.ID = numbered("S", 3, 101+i)
	s.cells = m.cellsIn(s)
	s.Habitat = m.commonest(s.cells)
	s.Name = m.nameOf(s)
	s.Access = m.accessOf(s)
	s.Permission, s.Until = m.permissionOf(s)
	s.Hazards = m.hazardsOf(s)
}

// cellsIn are the cells whose centres lie in a plot, or within 40 m of a line;
// the one at its middle where there is none.
func (m *siteMaker) cellsIn(s *Site) []int {
	var cells []int
	b := s.Shape.Bound().Pad(40)
	w := m.ground.d.Grid.Covering(b)
	for row := w.Row; row < w.Row+w.Rows; row++ {
		for col := w.Col; col < w.Col+w.Cols; col++ {
			if !inside(col, row) {
				continue
			}
			at := m.ground.d.Grid.Centre(col, row)
			polygon, isPlot := s.Shape.(orb.Polygon)
			if isPlot && planar.PolygonContains(polygon, at) || !isPlot && planar.DistanceFrom(s.Shape, at) <= 40 {
				cells = append(cells, m.ground.d.Index(col, row))
			}
		}
	}
	if len(cells) == 0 {
		if i, ok := m.cellOf(s.at); ok {
			cells = append(cells, i)
		}
	}
	return cells
}

func (m *siteMaker) commonest(cells []int) land.Cover {
	var count [256]int
	best := m.ground.d.Cover[cells[0]]
	for _, i := range cells {
		c := m.ground.d.Cover[i]
		if count[c]++; count[c] > count[best] {
			best = c
		}
	}
	return best
}

// nameOf names a site after the nearest place, what it is, and a number.
func (m *siteMaker) nameOf(s *Site) string {
	what := map[string]string{reptileSite: "plot", pondSite: "pond", poolSite: "pool", toadSite: "crossing"}[s.Survey]
	if _, isLine := s.Shape.(orb.LineString); isLine && s.Survey == reptileSite {
		what = "bank"
	}
	place := m.nearestPlace(s)
	key := place + what
	m.numbers[key]++
	return fmt.Sprintf("%s, %s %d", place, what, m.numbers[key])
}

func (m *siteMaker) nearestPlace(s *Site) string {
	name, best := "Averholt", math.Inf(1)
	for _, p := range m.ground.d.Places {
		away := apart(p.At, s.at)
		if len(p.Outline) > 0 && planar.PolygonContains(p.Outline, s.at) {
			away = 0
		}
		if strings.HasPrefix(p.Kind, "river") {
			continue
		}
		if away < best {
			name, best = p.Name, away
		}
	}
	return name
}

func writeSites(path string, l *Life) error {
	var features []geo.Feature
	for _, s := range l.Sites {
		until := any(nil)
		if s.Until != "" {
			until = s.Until
		}
		features = append(features, geo.Feature{Geometry: s.Shape, Properties: []geo.Property{
			{Name: "id", Value: s.ID}, {Name: "name", Value: s.Name}, {Name: "survey", Value: s.Survey}, {Name: "habitat", Value: s.Habitat.String()},
			{Name: "access", Value: s.Access}, {Name: "permission", Value: s.Permission}, {Name: "until", Value: until},
			{Name: "hazards", Value: strings.Join(s.Hazards, "; ")},
		}})
	}
	return geo.Write(path, l.ground.d.Grid.CRS, features)
}
