package layers

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// sweepPiece is part of an edge inside one cell, in cell fractions, downwards.
type sweepPiece struct {
	v1, u1, v2, u2 float64
	part           int
}

func (p *sweepPiece) at(v float64) float64 {
	switch v {
	case p.v1:
		return p.u1
	case p.v2:
		return p.u2
	}
	return p.u1 + (v-p.v1)*((p.u2-p.u1)/(p.v2-p.v1))
}

// cellSweep is the area of a union of polygons within one cell: the cell is cut
// into bands at every end and every crossing of edges, so that in a band edges
// are in one order from left to right and what they cover is trapezoids.
type cellSweep struct {
	col, row float64
	pieces   []sweepPiece
	cuts     []float64
	band     []bandEdge
	inside   []bool
}

// bandEdge is where an edge crosses the middle of a band.
type bandEdge struct {
	u    float64
	part int
}

func (s *cellSweep) begin(col, row int) {
	s.col, s.row = float64(col), float64(row)
	s.pieces, s.cuts = s.pieces[:0], s.cuts[:0]
}

// add takes an edge of a polygon, downwards. What lies left or right of the cell
// is moved onto its side, where it still closes the polygon.
func (s *cellSweep) add(p, q orb.Point, part int) {
	e := sweepPiece{p[1] - s.row, p[0] - s.col, q[1] - s.row, q[0] - s.col, part}
	if e.v1 == e.v2 || e.v2 <= 0 || e.v1 >= 1 {
		return
	}
	s.cut(sweepPiece{max(e.v1, 0), e.at(max(e.v1, 0)), min(e.v2, 1), e.at(min(e.v2, 1)), part})
}

// cut breaks a piece where it crosses the cell's sides.
func (s *cellSweep) cut(e sweepPiece) {
	for _, side := range [2]float64{0, 1} {
		if (e.u1 < side) == (e.u2 < side) || e.u1 == side || e.u2 == side {
			continue
		}
		v := e.v1 + (side-e.u1)*((e.v2-e.v1)/(e.u2-e.u1))
		if v > e.v1 && v < e.v2 {
			s.cut(sweepPiece{e.v1, e.u1, v, side, e.part})
			e = sweepPiece{v, side, e.v2, e.u2, e.part}
		}
	}
	e.u1, e.u2 = min(max(e.u1, 0), 1), min(max(e.u2, 0), 1)
	if e.v1 < e.v2 {
		s.pieces = append(s.pieces, e)
	}
}

// area is the union's area as a fraction of the cell.
func (s *cellSweep) area(parts int) float64 {
	for _, e := range s.pieces {
		s.cuts = append(s.cuts, e.v1, e.v2)
	}
	for i := range s.pieces {
		for j := range i {
			s.crossing(&s.pieces[i], &s.pieces[j])
		}
	}
	slices.Sort(s.cuts)
	s.cuts = slices.Compact(s.cuts)
	sum := 0.0
	for i := 1; i < len(s.cuts); i++ {
		sum += s.bandArea(s.cuts[i-1], s.cuts[i], parts)
	}
	return sum
}

// crossing adds the height at which two pieces cross, if they do.
func (s *cellSweep) crossing(a, b *sweepPiece) {
	top, bottom := max(a.v1, b.v1), min(a.v2, b.v2)
	if top >= bottom || max(a.u1, a.u2) < min(b.u1, b.u2) || max(b.u1, b.u2) < min(a.u1, a.u2) {
		return
	}
	before, after := a.at(top)-b.at(top), a.at(bottom)-b.at(bottom)
	if before < 0 && after > 0 || before > 0 && after < 0 {
		if v := top + (bottom-top)*(before/(before-after)); v > top && v < bottom {
			s.cuts = append(s.cuts, v)
		}
	}
}

// bandArea is the covered area between two neighbouring cuts.
func (s *cellSweep) bandArea(top, bottom float64, parts int) float64 {
	middle := (top + bottom) / 2
	s.band = s.band[:0]
	for i := range s.pieces {
		if e := &s.pieces[i]; e.v1 <= top && e.v2 >= bottom {
			s.band = append(s.band, bandEdge{e.at(middle), e.part})
		}
	}
	slices.SortStableFunc(s.band, func(a, b bandEdge) int { return cmp.Compare(a.u, b.u) })
	s.inside = scratchOf(&s.inside, parts)
	clear(s.inside)
	depth, start, wide := 0, 0.0, 0.0
	for _, e := range s.band {
		was := depth > 0
		s.inside[e.part] = !s.inside[e.part]
		if s.inside[e.part] {
			depth++
		} else {
			depth--
		}
		switch now := depth > 0; {
		case now && !was:
			start = e.u
		case was && !now:
			wide += e.u - start
		}
	}
	return wide * (bottom - top)
}
