package layers

import (
	"math"

	"github.com/paulmach/orb"
)

// segment is an edge of a feature, or a point, in units of cells.
type segment struct {
	start orb.Point
	along orb.Point // to the end; 0, 0 for a point
	per   float64   // 1 / length²; 0 for a point
}

func newSegment(p, q orb.Point) segment {
	s := segment{start: p, along: orb.Point{q[0] - p[0], q[1] - p[1]}}
	if square := float64(s.along[0]*s.along[0]) + float64(s.along[1]*s.along[1]); square > 1e-300 {
		s.per = 1 / square
	}
	return s
}

// segmentsOf are all edges and points of a feature.
func segmentsOf(s *shape) []segment {
	var list []segment
	run := func(points []orb.Point) {
		if len(points) == 1 {
			list = append(list, newSegment(points[0], points[0]))
		}
		for i := 1; i < len(points); i++ {
			list = append(list, newSegment(points[i-1], points[i]))
		}
	}
	for _, r := range s.rings {
		run(r)
	}
	for _, l := range s.lines {
		run(l)
	}
	for _, p := range s.points {
		list = append(list, newSegment(p, p))
	}
	return list
}

// squared is the squared distance from a place. Products are rounded before
// they are added (the conversions to float64), so that no machine fuses the two.
func (s *segment) squared(u, v float64) float64 {
	u, v = u-s.start[0], v-s.start[1]
	t := float64((float64(u*s.along[0]) + float64(v*s.along[1])) * s.per)
	t = min(max(t, 0), 1)
	u, v = u-float64(t*s.along[0]), v-float64(t*s.along[1])
	return float64(u*u) + float64(v*v)
}

// nearTileSide is the side of a tile in cells; a bit for each fits a uint16.
const nearTileSide = 16

// nearTile is a few cells with what is near them.
type nearTile struct {
	limit  float64 // cells
	window Window
	near   []int32    // numbers of the features, the best first
	parts  []nearPart // what of each matters here
	burner *burner
}

// nearPart is what of a feature matters in a tile; it is found when first asked
// for.
type nearPart struct {
	ready    bool
	inside   [nearTileSide]uint16 // by row, the columns whose centre lies inside
	segments []segment            // those that may be the nearest to some cell
}

// begin takes the features whose bounds come within the limit of a tile.
func (t *nearTile) begin(w Window, features []nearFeature) {
	t.window, t.near = w, t.near[:0]
	low := orb.Point{float64(w.Col) - t.limit, float64(w.Row) - t.limit}
	high := orb.Point{float64(w.Right()) + t.limit, float64(w.Bottom()) + t.limit}
	for i := range features {
		s := features[i].shape
		if s.low[0] <= high[0] && s.high[0] >= low[0] && s.low[1] <= high[1] && s.high[1] >= low[1] {
			t.near = append(t.near, int32(i))
		}
	}
	for len(t.parts) < len(t.near) {
		t.parts = append(t.parts, nearPart{})
	}
	for k := range t.near {
		t.parts[k].ready = false
	}
}

// distance is how far, in cells, the k-th feature lies from a cell's centre;
// +Inf if no part of it comes within the limit of the tile.
func (t *nearTile) distance(k int, f *nearFeature, col, row int) float64 {
	p := &t.parts[k]
	if !p.ready {
		t.prepare(p, f)
	}
	if p.inside[row-t.window.Row]>>(col-t.window.Col)&1 != 0 {
		return 0
	}
	least := math.Inf(1)
	u, v := float64(col)+0.5, float64(row)+0.5
	for i := range p.segments {
		least = min(least, p.segments[i].squared(u, v))
	}
	return math.Sqrt(least)
}

// prepare keeps the segments that may be nearest to some cell of the tile. With
// h the distance from the tile's middle m to its corner cells, a segment at d
// from m is at least d − h from any cell, and the nearest one, at least, is at
// most least + h from every cell.
func (t *nearTile) prepare(p *nearPart, f *nearFeature) {
	p.ready, p.inside, p.segments = true, [nearTileSide]uint16{}, p.segments[:0]
	w := t.window
	t.burner.window = w
	t.burner.centres(f.shape.rings, func(row, from, to int) {
		for col := from; col < to; col++ {
			p.inside[row-w.Row] |= 1 << (col - w.Col)
		}
	})
	u, v := float64(w.Col)+float64(w.Cols)/2, float64(w.Row)+float64(w.Rows)/2
	h := math.Hypot(float64(w.Cols-1), float64(w.Rows-1)) / 2
	least := math.Inf(1)
	for i := range f.segments {
		least = min(least, f.segments[i].squared(u, v))
	}
	most := min(math.Sqrt(least)+2*h, t.limit+h) * (1 + 1e-9)
	most = most*most + 1e-9
	for i := range f.segments {
		if f.segments[i].squared(u, v) <= most {
			p.segments = append(p.segments, f.segments[i])
		}
	}
}
