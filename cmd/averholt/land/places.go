package land

import "github.com/paulmach/orb"

// namePlaces makes the gazetteer: towns, then what else has a name.
func (m *maker) namePlaces() {
	for _, t := range m.towns {
		town := Town{Name: t.name, People: t.people, At: onMap(t.at), Outline: outlineOf(t.cells)}
		m.Towns = append(m.Towns, town)
		m.Places = append(m.Places, Place{t.name, t.kind, t.people, town.At, town.Outline})
	}
	m.nameZone("Great Ling Common", "heath", heathZone)
	m.nameZone("Emberlow Heath", "heath", emberZone)
	m.nameZone("Skarn Tops", "hill", hillZone)
	m.nameZone("Mirkwater Fen", "fen", fenZone)
	m.nameZone("Sedgeley Carr", "wet woodland", carrZone)
	m.nameZone("Kelder Plantation", "plantation", pineZone)
	m.nameZone("Dunstall Pits", "sand pits", pitZone)
	m.Places = append(m.Places,
		Place{Name: "River Withen", Kind: "river", At: onMap(m.river.bed[len(m.river.bed)/2])},
		Place{Name: "Old Averholt Line", Kind: "disused railway", At: onMap(m.rail[len(m.rail)/2])})
}

// nameZone names a zone. Its outline also holds what lies between its parts, as
// the fragments of Emberlow and the roads between them.
func (m *maker) nameZone(name, kind string, z zone) {
	cells := m.cellsIn(z)
	whole := closed(cells, m.gap(z))
	m.Places = append(m.Places, Place{Name: name, Kind: kind, At: onMap(m.innermost(cells)), Outline: outlineOf(whole)})
}

// gap is how wide a gap is counted in, m.
func (m *maker) gap(z zone) float64 {
	if z == emberZone {
		return 800
	}
	return 60
}

// closed is a set of cells with all gaps up to a width filled.
func closed(cells []int, gap float64) []int {
	in := make([]bool, Cols*Rows)
	for _, i := range cells {
		in[i] = true
	}
	out := distances(gap+100, func(i int) bool { return in[i] })
	back := distances(gap+100, func(i int) bool { return out[i] > gap/2+Cell })
	var whole []int
	for i := range back {
		if back[i] > gap/2+Cell || in[i] {
			whole = append(whole, i)
		}
	}
	return whole
}

// innermost is the cell of a set that lies nearest to the middle of them all.
func (m *maker) innermost(cells []int) orb.Point {
	var middle orb.Point
	for _, i := range cells {
		p := place(i)
		middle[0] += p[0] / float64(len(cells))
		middle[1] += p[1] / float64(len(cells))
	}
	nearest := place(cells[0])
	for _, i := range cells {
		if p := place(i); apart(p, middle) < apart(nearest, middle) {
			nearest = p
		}
	}
	return nearest
}
