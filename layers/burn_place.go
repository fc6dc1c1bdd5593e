package layers

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
)

// placer moves geometries to the grid's CRS. Vertices are transformed exactly;
// an edge that is straight in its own CRS and long enough to be bent in the
// grid's gets vertices in between, until it strays by no more than a twentieth
// of a cell. An edge that two polygons share is split alike in both.
type placer struct {
	transform *Transform
	same      bool
	cell      float64
}

// longEdge is the length, in cells, from which an edge is looked at.
const longEdge = 16

// mostSplits bounds how often one edge is halved.
const mostSplits = 12

var errNoPlace = errors.New("it has no place in the grid's coordinate reference system")

// move gives a moved copy, or the first vertex that cannot be moved.
func (p *placer) move(g orb.Geometry) (moved orb.Geometry, at orb.Point, err error) {
	moved = eachRun(g, func(run []orb.Point) []orb.Point {
		if err != nil {
			return nil
		}
		var out []orb.Point
		if out, err = p.run(run); err != nil {
			at = p.lost(run)
		}
		return out
	})
	if err != nil {
		return nil, at, err
	}
	return moved, at, nil
}

// lost is the first vertex that has no place.
func (p *placer) lost(run []orb.Point) orb.Point {
	for _, v := range run {
		if _, err := p.points([]orb.Point{v}); err != nil {
			return v
		}
	}
	return run[0]
}

// eachRun is a geometry of the same kind made of other vertices, run by run.
func eachRun(g orb.Geometry, f func([]orb.Point) []orb.Point) orb.Geometry {
	switch g := g.(type) {
	case orb.Point:
		if run := f([]orb.Point{g}); len(run) == 1 {
			return run[0]
		}
		return g
	case orb.MultiPoint:
		var out orb.MultiPoint
		for _, p := range g {
			out = append(out, eachRun(p, f).(orb.Point)) // singly, for no edge joins them
		}
		return out
	case orb.LineString:
		return orb.LineString(f(g))
	case orb.Ring:
		return orb.Ring(f(g))
	case orb.MultiLineString:
		return orb.MultiLineString(eachPart([]orb.LineString(g), f))
	case orb.Polygon:
		return orb.Polygon(eachPart([]orb.Ring(g), f))
	case orb.MultiPolygon:
		return orb.MultiPolygon(eachPart([]orb.Polygon(g), f))
	case orb.Collection:
		return orb.Collection(eachPart([]orb.Geometry(g), f))
	}
	return g
}

func eachPart[G orb.Geometry](parts []G, f func([]orb.Point) []orb.Point) []G {
	out := make([]G, 0, len(parts))
	for _, part := range parts {
		out = append(out, eachRun(part, f).(G))
	}
	return out
}

// run moves a run of vertices; nil and an error if one has no place.
func (p *placer) run(run []orb.Point) ([]orb.Point, error) {
	moved, err := p.points(run)
	if err != nil || p.same || len(run) < 2 {
		return moved, err
	}
	var out []orb.Point
	for i := 1; i < len(run); i++ {
		out = append(out, moved[i-1])
		if out, err = p.bend(out, run[i-1], run[i], moved[i-1], moved[i], 0); err != nil {
			return nil, err
		}
	}
	return append(out, moved[len(moved)-1]), nil
}

// bend adds the vertices between two moved ones.
func (p *placer) bend(out []orb.Point, a, b, movedA, movedB orb.Point, depth int) ([]orb.Point, error) {
	if math.Hypot(movedB[0]-movedA[0], movedB[1]-movedA[1]) < longEdge*p.cell || depth == mostSplits {
		return out, nil
	}
	middle := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	moved, err := p.points([]orb.Point{middle})
	if err != nil {
		return nil, err
	}
	m := moved[0]
	if math.Hypot(m[0]-(movedA[0]+movedB[0])/2, m[1]-(movedA[1]+movedB[1])/2) <= p.cell/20 {
		return out, nil
	}
	if out, err = p.bend(out, a, middle, movedA, m, depth+1); err != nil {
		return nil, err
	}
	return p.bend(append(out, m), middle, b, m, movedB, depth+1)
}

// points transforms vertices.
func (p *placer) points(run []orb.Point) ([]orb.Point, error) {
	xs, ys := make([]float64, len(run)), make([]float64, len(run))
	for i, v := range run {
		xs[i], ys[i] = v[0], v[1]
	}
	if err := p.transform.Points(xs, ys); err != nil {
		return nil, err
	}
	moved := make([]orb.Point, len(run))
	for i := range run {
		if math.IsNaN(xs[i]+ys[i]) || math.IsInf(xs[i]+ys[i], 0) {
			return nil, errNoPlace
		}
		moved[i] = orb.Point{xs[i], ys[i]}
	}
	return moved, nil
}
