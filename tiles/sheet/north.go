package sheet

import (
	"fmt"
	"math"
)

// leastConvergence is from how many degrees between grid north and true north
// are said.
const leastConvergence = 0.5

// northWords say what the arrow points to.
func northWords(e earth) string {
	switch {
	case !e.known:
		return "north of the plan"
	case math.IsNaN(e.convergence) || math.Abs(e.convergence) <= leastConvergence:
		return "grid north"
	}
	side := "east"
	if e.convergence < 0 {
		side = "west"
	}
	return fmt.Sprintf("grid north; true north lies %.1f° %s of it", math.Abs(e.convergence), side)
}

// northWidth is the room that an arrow takes, in points.
const northWidth = 16

// drawNorth draws the arrow with its words beside it and returns where the
// block ends.
func (p pen) drawNorth(e earth, x, y, room float64) float64 {
	u := p.point
	middle, top, high := x+northWidth/2*u, y, 25*u
	p.MoveTo(middle, top)
	p.LineTo(middle+5*u, top+high)
	p.LineTo(middle, top+high*0.78)
	p.ClosePath()
	p.SetColor(paper)
	p.FillPreserve()
	p.SetColor(ink)
	p.SetLineWidth(0.6 * u)
	p.Stroke()
	p.MoveTo(middle, top)
	p.LineTo(middle-5*u, top+high)
	p.LineTo(middle, top+high*0.78)
	p.ClosePath()
	p.FillPreserve()
	p.Stroke()
	letter := text{bold, 9, ink}
	left := x + (northWidth+3)*u
	p.write(letter, left, top+p.ascent(letter), "N")
	end := p.paragraph(text{regular, 8, quiet}, left, top+p.ascent(letter)+4*u, room-(northWidth+3)*u, northWords(e))
	return math.Max(end, top+high)
}
