package layers

import "github.com/paulmach/orb"

// PlacedFeature is one feature of a layer in the grid's CRS.
type PlacedFeature struct {
	Value    string // of the attribute that was asked for
	Geometry orb.Geometry
}

// Features are the features of a layer that come near a window, in the order of
// their ids, whole and not clipped, each with the value of one attribute ("" for
// none); field "" asks for no attribute. They are what measures and burning see:
// checked, and moved to the grid's CRS.
func (s *Set) Features(layer string, w Window, field string) ([]PlacedFeature, error) {
	l, err := s.opened(layer)
	if err != nil {
		return nil, err
	}
	if field != "" {
		if err := checkField(l, "the features", field); err != nil {
			return nil, err
		}
	}
	var list []PlacedFeature
	err = l.near(w, 0, []string{field}, func(one *shape, attributes map[string]string) {
		list = append(list, PlacedFeature{Value: attributes[field], Geometry: one.geometry(s.grid)})
	})
	return list, err
}

// geometry is the shape in a grid's CRS: of one kind where it has only one.
func (s *shape) geometry(g Grid) orb.Geometry {
	var parts orb.Collection
	switch len(s.points) {
	case 0:
	case 1:
		parts = append(parts, unplaced(s.points, g)[0])
	default:
		parts = append(parts, orb.MultiPoint(unplaced(s.points, g)))
	}
	var lines orb.MultiLineString
	for _, l := range s.lines {
		lines = append(lines, unplaced(l, g))
	}
	var areas orb.MultiPolygon
	for _, r := range s.rings {
		ring := orb.Ring(unplaced(r, g))
		if signedArea(ring) > 0 || len(areas) == 0 { // holes run the other way
			areas = append(areas, nil)
		}
		areas[len(areas)-1] = append(areas[len(areas)-1], ring)
	}
	if len(lines) > 0 {
		parts = append(parts, lines)
	}
	if len(areas) > 0 {
		parts = append(parts, areas)
	}
	if len(parts) == 1 {
		return parts[0]
	}
	return parts
}

// unplaced takes points from units of cells back to a grid's CRS.
func unplaced(points []orb.Point, g Grid) []orb.Point {
	out := make([]orb.Point, len(points))
	for i, p := range points {
		out[i] = orb.Point{g.West + p[0]*g.Cell, g.North - p[1]*g.Cell}
	}
	return out
}
