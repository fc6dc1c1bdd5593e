package sheet

import (
	"image/color"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// drawLines draws the lines of all marks: every casing before any core, so that
// ways join where they meet, and of roads the narrow before the wide.
func (p pen) drawLines(f frame, marks []Mark) {
	pad := 20 * f.grid.Cell
	bound := f.grid.Bound(f.grid.Window()).Pad(pad)
	lines := make([][]orb.LineString, len(marks))
	for i, m := range marks {
		for _, g := range m.Shapes {
			lines[i] = append(lines[i], linesOf(clip.Geometry(bound, orb.Clone(g)), m.Symbol)...)
		}
	}
	order := drawingOrder(marks)
	for _, i := range order {
		p.strokeAll(f.pixel, lines[i], marks[i].stroke().casing, nil, rim)
	}
	for _, water := range []bool{true, false} { // bridges lie over water
		for _, i := range order {
			if (marks[i].Symbol == Water) == water {
				p.core(f.pixel, lines[i], marks[i])
			}
		}
		if water {
			for _, i := range order {
				p.strokeAll(f.pixel, lines[i], marks[i].stroke().inner, nil, pool)
			}
		}
	}
}

// core draws the dark part of lines, without open water.
func (p pen) core(place func(orb.Point) (x, y float64), lines []orb.LineString, m Mark) {
	s := m.stroke()
	p.strokeAll(place, lines, s.core, s.dash, m.ink())
	if s.ties {
		p.strokeAll(place, lines, s.core*0.5, []float64{3, 3}, rim)
	}
}

// drawingOrder is the numbers of the marks: as given, roads from the narrowest.
func drawingOrder(marks []Mark) []int {
	var order, roads []int
	for i, m := range marks {
		if m.Symbol == Road {
			roads = append(roads, i)
		} else {
			order = append(order, i)
		}
	}
	for rank := len(roadStrokes); rank >= 0; rank-- {
		for _, i := range roads {
			if min(max(marks[i].Rank, 0), len(roadStrokes)) == rank {
				order = append(order, i)
			}
		}
	}
	return order
}

func (m Mark) ink() color.NRGBA {
	switch m.Symbol {
	case Water:
		return wet
	case Railway:
		return rails
	case Boundary:
		return edge
	}
	return ways
}

// linesOf are the lines of a geometry; outlines of areas count as lines except
// those of water, which is filled.
func linesOf(g orb.Geometry, s Symbol) []orb.LineString {
	switch g := g.(type) {
	case orb.LineString:
		return []orb.LineString{g}
	case orb.MultiLineString:
		return g
	case orb.Ring:
		if s != Water {
			return []orb.LineString{orb.LineString(g)}
		}
	case orb.Polygon:
		return partsOf(g, s)
	case orb.MultiPolygon:
		return partsOf(g, s)
	case orb.Collection:
		return partsOf(g, s)
	}
	return nil
}

func partsOf[G orb.Geometry](parts []G, s Symbol) []orb.LineString {
	var lines []orb.LineString
	for _, part := range parts {
		lines = append(lines, linesOf(part, s)...)
	}
	return lines
}

func (p pen) strokeAll(place func(orb.Point) (x, y float64), lines []orb.LineString, width float64, dash []float64, c color.NRGBA) {
	if len(lines) == 0 || width == 0 {
		return
	}
	p.SetLineCapRound()
	if dash != nil {
		p.SetLineCapButt()
	}
	p.SetLineJoinRound()
	p.SetDash(scaled(dash, p.point)...)
	p.SetLineWidth(width * p.point)
	p.SetColor(c)
	for _, line := range lines {
		for i, at := range line {
			x, y := place(at)
			if i == 0 {
				p.MoveTo(x, y)
			} else {
				p.LineTo(x, y)
			}
		}
		p.Stroke()
	}
	p.SetDash()
}

func scaled(list []float64, by float64) []float64 {
	var out []float64
	for _, v := range list {
		out = append(out, v*by)
	}
	return out
}
