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
