package life

import (
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/cmd/averholt/land"
)

// Who may go where.
const (
	accessOpen    = "open"
	accessPermit  = "permit"
	accessPrivate = "private"
)

// accessOf follows the ground: the commons and roads are open, the plantation,
// the pits and the carr go by permit, fields and gardens are private.
func (m *siteMaker) accessOf(s *Site) string {
	if s.Survey == toadSite {
		return accessOpen
	}
	for _, p := range m.ground.d.Places {
		if len(p.Outline) == 0 || !planar.PolygonContains(p.Outline, s.at) {
			continue
		}
		switch p.Name {
		case "Great Ling Common", "Emberlow Heath", "Skarn Tops":
			return accessOpen
		case "Kelder Plantation", "Dunstall Pits", "Sedgeley Carr":
			return accessPermit
		case "Mirkwater Fen":
			return oneOf(m.rng, accessPermit, accessPermit, accessPrivate)
		}
	}
	if _, isLine := s.Shape.(orb.LineString); isLine {
		return oneOf(m.rng, accessOpen, accessOpen, accessPermit)
	}
	return accessPrivate
}

// permissionOf is how far asking has come. Open ground needs nobody's word.
func (m *siteMaker) permissionOf(s *Site) (state, until string) {
	end := Reference.AddDate(0, oneOf(m.rng, 3, 6, 9, 10, 22), oneOf(m.rng, 0, 14, 29)).Format(time.DateOnly)
	u := m.rng.Float64()
	switch {
	case s.Access == accessOpen:
		return "yes", ""
	case s.Access == accessPermit && u < 0.7, s.Access == accessPrivate && u < 0.42:
		return "yes", end
	case s.Access == accessPermit, u < 0.62:
		return "asked", ""
	case u < 0.85:
		return "unknown", ""
	}
	return "no", ""
}

// hazardsOf are what somebody who goes there has to know.
func (m *siteMaker) hazardsOf(s *Site) []string {
	var hazards []string
	add := func(name string, is bool) {
		if is {
			hazards = append(hazards, name)
		}
	}
	add("road", s.Survey == toadSite || m.anyCell(s, func(i int) bool { return m.ground.busy(i) <= 40 }))
	add("water", s.Survey == pondSite || s.Survey == poolSite || m.anyCell(s, func(i int) bool { return m.ground.d.Cover[i] == land.OpenWater }))
	add("soft ground", m.anyCell(s, func(i int) bool {
		c := m.ground.d.Cover[i]
		return c == land.Bog || c == land.FenReedbed || c == land.SandPit && s.Survey == poolSite
	}))
	add("no signal", m.deadSpot(s))
	add("livestock", s.Access == accessPrivate && m.anyCell(s, func(i int) bool { return m.ground.d.Cover[i] == land.ImprovedGrass }))
	add("adder", m.anyCell(s, m.adders))
	return hazards
}

func (m *siteMaker) anyCell(s *Site, is area) bool {
	for _, i := range s.cells {
		if is(i) {
			return true
		}
	}
	return false
}

// deadSpot tells whether telephones find no signal: away from people, one place
// in three.
func (m *siteMaker) deadSpot(s *Site) bool {
	i, _ := m.cellOf(s.at)
	return m.people.at[i] > 500 && m.rng.Float64() < 0.45
}
