package life

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"

	"tussock/cmd/averholt/land"
	"tussock/layers"
)

// pencil is how somebody draws an outline from what they know: over how many
// metres detail is let go, from which share of the ground on a place counts as
// in, and what is too small to draw.
type pencil struct {
	sigma    float64 // m
	level    float64 // share
	smallest float64 // m²
}

const (
	draftCell   = 100.0  // m, of the sheet that outlines are drawn on
	draftMargin = 2000.0 // m beyond the district, for a range does not end at an office's border
)

// draw makes polygons of the ground where in holds: generalised to the pencil,
// cut to straight strokes and rounded at the corners. What touches the
// district's edge goes on beyond it.
func draw(d *land.District, p pencil, in func(i int) bool) orb.MultiPolygon {
	sheet := draft(in).blurred(p.sigma / draftCell)
	sheet.clearRim()
	for tolerance := p.sigma / 3; ; tolerance /= 2 {
		drawn := assemble(p.rings(d, sheet, tolerance))
		if _, _, ok := layers.ValidateGeometry(drawn); ok || tolerance < 1 {
			return drawn
		}
	}
}

// draft brings cells to the coarser sheet.
func draft(in func(i int) bool) raster {
	const per, margin = int(draftCell / land.Cell), int(draftMargin / draftCell)
	sheet := newRaster(land.Cols/per+2*margin, land.Rows/per+2*margin)
	for row := range sheet.rows {
		for col := range sheet.cols {
			c := min(max((col-margin)*per+per/2, 0), land.Cols-1)
			r := min(max((row-margin)*per+per/2, 0), land.Rows-1)
			if in(r*land.Cols + c) {
				sheet.at[row*sheet.cols+col] = 1
			}
		}
	}
	return sheet
}

// clearRim empties the outermost cells, so that every contour is closed.
func (r raster) clearRim() {
	for i := range r.at {
		if col, row := i%r.cols, i/r.cols; col == 0 || row == 0 || col == r.cols-1 || row == r.rows-1 {
			r.at[i] = 0
		}
	}
}

func (p pencil) rings(d *land.District, sheet raster, tolerance float64) []orb.Ring {
	var rings []orb.Ring
	for _, ring := range sheet.contour(p.level) {
		for i, q := range ring {
			ring[i] = orb.Point{
				d.Grid.West - draftMargin + (q[0]+0.5)*draftCell,
				d.Grid.North + draftMargin - (q[1]+0.5)*draftCell,
			}
		}
		ring = simplify.DouglasPeucker(tolerance).Ring(ring)
		if len(ring) >= 4 && math.Abs(planar.Area(ring)) >= p.smallest {
			rings = append(rings, rounded(rounded(shortStrokes(ring, 6*p.sigma))))
		}
	}
	return rings
}

// shortStrokes parts long strokes, so that rounding takes little off a corner.
func shortStrokes(ring orb.Ring, most float64) orb.Ring {
	out := orb.Ring{ring[0]}
	for i := range len(ring) - 1 {
		a, b := ring[i], ring[i+1]
		n := math.Ceil(apart(a, b) / most)
		for k := 1.0; k <= n; k++ {
			out = append(out, orb.Point{a[0] + k/n*(b[0]-a[0]), a[1] + k/n*(b[1]-a[1])})
		}
	}
	return out
}

// rounded cuts each corner at a quarter of its strokes (Chaikin 1974). Points
// are whole metres.
func rounded(ring orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, 2*len(ring))
	mix := func(a, b orb.Point) orb.Point {
		return orb.Point{math.Round(0.75*a[0] + 0.25*b[0]), math.Round(0.75*a[1] + 0.25*b[1])}
	}
	for i := range len(ring) - 1 {
		out = append(out, mix(ring[i], ring[i+1]), mix(ring[i+1], ring[i]))
	}
	return append(out, out[0])
}

// assemble puts holes, which run clockwise, into the outlines around them.
func assemble(rings []orb.Ring) orb.MultiPolygon {
	var drawn orb.MultiPolygon
	for _, ring := range rings {
		if ring.Orientation() == orb.CCW {
			drawn = append(drawn, orb.Polygon{ring})
		}
	}
	for _, ring := range rings {
		for i := range drawn {
			if ring.Orientation() == orb.CW && planar.RingContains(drawn[i][0], ring[0]) {
				drawn[i] = append(drawn[i], ring)
				break
			}
		}
	}
	return drawn
}
