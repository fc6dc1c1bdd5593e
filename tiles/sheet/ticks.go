package sheet

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Room around the map, in points: for coordinates above and below, and beside.
const (
	tickRow    = 13.0
	tickLength = 3.2
	// Labels stand at least so far apart.
	tickApartX, tickApartY = 92.0, 78.0
)

var tickText = text{regular, 8, quiet}

// drawCoordinates draws ticks at round metres of the grid on all four sides, and
// the corners in degrees, around a map whose corner lies at left, top, in one row
// above and below or in two.
func (p pen) drawCoordinates(f frame, e earth, left, top, rows float64) {
	right, bottom := left+float64(f.width), top+float64(f.height)
	above, below := top-4*p.point, bottom+4*p.point+p.ascent(tickText)
	further := (rows - 1) * (tickRow - 2) * p.point
	freeTop, freeBottom := p.drawCorners(e, left, right, above-further, below+further)
	if rows > 1 {
		slack := 10 * p.point
		freeTop = [2]float64{left - slack, right + slack}
		freeBottom = freeTop
	}
	b := f.grid.Bound(f.grid.Window())
	eastings := roundSteps(b.Min[0], b.Max[0], tickApartX*p.point/f.perMetreX())
	for _, v := range eastings {
		x := left + (v-f.grid.West)*f.perMetreX()
		p.tick(x, top, x, top+tickLength*p.point)
		p.tick(x, bottom, x, bottom-tickLength*p.point)
		words := axisWords(e, 0, v)
		p.writeBetween(words, x, above, freeTop)
		p.writeBetween(words, x, below, freeBottom)
	}
	northings := roundSteps(b.Min[1], b.Max[1], tickApartY*p.point/f.perMetreY())
	for _, v := range northings {
		y := top + (f.grid.North-v)*f.perMetreY()
		p.tick(left, y, left+tickLength*p.point, y)
		p.tick(right, y, right-tickLength*p.point, y)
		words := axisWords(e, 1, v)
		if half := p.measure(tickText, words) / 2; y-half > top && y+half < bottom {
			p.writeUpwards(tickText, left-2.6*p.point, y, words)
		}
	}
}

// writeBetween sets the words of a tick around x unless they would run over the
// corners' words.
func (p pen) writeBetween(words string, x, baseline float64, between [2]float64) {
	half := p.measure(tickText, words)/2 + 7*p.point
	if x-half >= between[0] && x+half <= between[1] {
		p.writeMiddle(tickText, x, baseline, words)
	}
}

// drawCorners writes the corners in degrees, and returns from where to where the
// rows above and below are still free. On a narrow map only the north-west and
// the south-east corner find room.
func (p pen) drawCorners(e earth, left, right, above, below float64) (freeTop, freeBottom [2]float64) {
	slack := 10 * p.point
	freeTop, freeBottom = [2]float64{left - slack, right + slack}, [2]float64{left - slack, right + slack}
	if !e.known {
		return freeTop, freeBottom
	}
	words := [4]string{}
	longest := 0.0
	for i, at := range e.corners {
		words[i] = degreesWords(at)
		longest = math.Max(longest, p.measure(tickText, words[i]))
	}
	p.write(tickText, left, above, words[0])
	freeTop[0] = left + p.measure(tickText, words[0])
	if right-left > 2*longest+slack {
		p.writeRight(tickText, right, above, words[1])
		p.write(tickText, left, below, words[2])
		p.writeRight(tickText, right, below, words[3])
		freeTop[1] = right - p.measure(tickText, words[1])
		freeBottom = [2]float64{left + p.measure(tickText, words[2]), right - p.measure(tickText, words[3])}
		return freeTop, freeBottom
	}
	p.write(tickText, math.Max(left, right-p.measure(tickText, words[3])), below, words[3])
	return freeTop, [2]float64{math.Inf(1), math.Inf(-1)}
}

func (p pen) tick(x1, y1, x2, y2 float64) {
	for _, line := range []struct {
		width float64
		light bool
	}{{1.8, true}, {0.7, false}} {
		p.DrawLine(x1, y1, x2, y2)
		p.SetColor(ink)
		if line.light {
			p.SetColor(rim)
		}
		p.SetLineCapButt()
		p.SetLineWidth(line.width * p.point)
		p.Stroke()
	}
}

// roundSteps are the multiples, between two numbers, of the least round step of
// at least so much.
func roundSteps(from, to, least float64) []float64 {
	step := roundBelow(least * 0.999999)
	for step < least {
		step = roundBelow(step * 2.6)
	}
	var list []float64
	for k := math.Ceil(from / step); k*step <= to; k++ {
		list = append(list, k*step)
	}
	return list
}

func axisWords(e earth, axis int, v float64) string {
	letters := [2]string{"E", "N"}
	if !e.known {
		letters = [2]string{"x", "y"}
	}
	return letters[axis] + " " + thousands(math.Round(v*1000)/1000)
}

// degreesWords is a place in decimal degrees, to four places: 11 m.
func degreesWords(at orb.Point) string {
	if math.IsNaN(at[0]) || math.IsNaN(at[1]) {
		return ""
	}
	side := func(v float64, positive, negative string) string {
		if v < 0 {
			positive = negative
		}
		return fmt.Sprintf("%.4f° %s", math.Abs(v), positive)
	}
	return side(at[1], "N", "S") + "  " + side(at[0], "E", "W")
}
