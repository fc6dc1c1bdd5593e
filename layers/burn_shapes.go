package layers

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/tidwall/rtree"
)

// shape is one feature in units of the grid's cells: u counts columns from the
// west edge, v rows downwards from the north edge, so that floor gives the cell.
type shape struct {
	fid       int64
	row       int // of the layer's table of attributes
	low, high orb.Point
	rings     []orb.Ring // outer rings with interior at the greater u of an edge that runs down, holes the other way
	lines     []orb.LineString
	points    []orb.Point
	centre    orb.Point
}

// newShape takes a geometry apart; it is moved to units of cells in place.
func newShape(fid int64, g orb.Geometry, grid Grid) (shape, error) {
	s := shape{fid: fid}
	if err := s.add(g); err != nil {
		return shape{}, err
	}
	s.low, s.high = orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, run := range s.runs() {
		for i, p := range run {
			run[i] = orb.Point{(p[0] - grid.West) / grid.Cell, (grid.North - p[1]) / grid.Cell}
			s.low = orb.Point{min(s.low[0], run[i][0]), min(s.low[1], run[i][1])}
			s.high = orb.Point{max(s.high[0], run[i][0]), max(s.high[1], run[i][1])}
		}
	}
	if s.centre = s.middle(); math.IsNaN(s.centre[0] + s.centre[1]) {
		s.centre = s.low // no extent, so no centroid: the feature is one place
	}
	return s, nil
}

// add sorts the parts of a geometry by kind and turns the rings the right way:
// rows grow downwards, so an outer ring runs against the clock on the map.
func (s *shape) add(g orb.Geometry) error {
	switch g := g.(type) {
	case orb.Point:
		s.points = append(s.points, g)
	case orb.MultiPoint:
		s.points = append(s.points, g...)
	case orb.LineString:
		s.lines = append(s.lines, g)
	case orb.MultiLineString:
		s.lines = append(s.lines, g...)
	case orb.Ring:
		s.addPolygon(orb.Polygon{g})
	case orb.Polygon:
		s.addPolygon(g)
	case orb.MultiPolygon:
		for _, p := range g {
			s.addPolygon(p)
		}
	case orb.Collection:
		for _, part := range g {
			if err := s.add(part); err != nil {
				return err
			}
		}
	default:
		return fmt.Errorf("a geometry of type %T cannot be burned", g)
	}
	return nil
}

func (s *shape) addPolygon(p orb.Polygon) {
	for i, ring := range p {
		if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
			ring = append(ring, ring[0])
		}
		if (signedArea(ring) < 0) == (i == 0) {
			slices.Reverse(ring)
		}
		s.rings = append(s.rings, ring)
	}
}

// signedArea is positive for a ring against the clock, y upwards; taken about
// the first point, for rings are small and coordinates large.
func signedArea(r orb.Ring) float64 {
	sum := 0.0
	for i := 1; i < len(r); i++ {
		sum += (r[i-1][0]-r[0][0])*(r[i][1]-r[0][1]) - (r[i][0]-r[0][0])*(r[i-1][1]-r[0][1])
	}
	return sum / 2
}

// runs are all vertices, to be changed in place.
func (s *shape) runs() [][]orb.Point {
	runs := [][]orb.Point{s.points}
	for _, r := range s.rings {
		runs = append(runs, r)
	}
	for _, l := range s.lines {
		runs = append(runs, l)
	}
	return runs
}

// middle is the centroid of the parts of the highest dimension.
func (s *shape) middle() orb.Point {
	switch {
	case len(s.rings) > 0:
		var u, v, area float64
		for _, r := range s.rings {
			c, a := planar.CentroidArea(r)
			if signedArea(r) > 0 {
				a = -math.Abs(a) // a hole
			} else {
				a = math.Abs(a)
			}
			u, v, area = u+c[0]*a, v+c[1]*a, area+a
		}
		return orb.Point{u / area, v / area}
	case len(s.lines) > 0:
		c, _ := planar.CentroidArea(orb.MultiLineString(s.lines))
		return c
	default:
		c, _ := planar.CentroidArea(orb.MultiPoint(s.points))
		return c
	}
}

// shapes are the features of a layer, by feature id, with an index.
type shapes struct {
	list  []shape
	index rtree.RTreeG[int32]
}

// newShapes indexes shapes.
func newShapes(list []shape) *shapes {
	s := &shapes{list: list}
	slices.SortStableFunc(s.list, func(a, b shape) int {
		switch {
		case a.fid < b.fid:
			return -1
		case a.fid > b.fid:
			return 1
		}
		return 0
	})
	for i := range s.list {
		s.index.Insert(s.list[i].low, s.list[i].high, int32(i))
	}
	return s
}

// meeting are the numbers, in order, of the shapes whose bounds, grown by pad
// cells, meet a window.
func (s *shapes) meeting(w Window, pad float64) []int32 {
	var found []int32
	low := [2]float64{float64(w.Col) - pad, float64(w.Row) - pad}
	high := [2]float64{float64(w.Right()) + pad, float64(w.Bottom()) + pad}
	s.index.Search(low, high, func(_, _ [2]float64, i int32) bool {
		found = append(found, i)
		return true
	})
	slices.Sort(found)
	return found
}
