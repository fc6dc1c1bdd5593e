package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// scaleBar is a bar of a round number of metres on the ground.
type scaleBar struct {
	metres float64
	pixels float64
	parts  int // of equal length
}

// newScaleBar is the longest round bar of at most so many pixels.
func newScaleBar(f frame, e earth, room float64) (scaleBar, error) {
	for metres := roundBelow(room / f.perMetreX() * 2); ; metres = roundBelow(metres * 0.99) {
		length, err := e.onGrid(metres)
		if err != nil {
			return scaleBar{}, err
		}
		if pixels := length * f.perMetreX(); pixels <= room {
			return scaleBar{metres: metres, pixels: pixels, parts: partsOfRound(metres)}, nil
		}
	}
}

// roundBelow is the greatest of 1, 2 and 5 times a power of ten up to v.
func roundBelow(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{5, 2} {
		if m*power <= v*(1+1e-9) {
			return m * power
		}
	}
	return power
}

func partsOfRound(metres float64) int {
	if lead := metres / math.Pow(10, math.Floor(math.Log10(metres)+1e-9)); math.Round(lead) == 5 {
		return 5
	}
	return 4
}

// length is a distance in words: 500 m, 2.5 km.
func length(metres float64) string {
	if metres >= 1000 {
		return strconv.FormatFloat(metres/1000, 'f', -1, 64) + " km"
	}
	return strconv.FormatFloat(metres, 'f', -1, 64) + " m"
}

// drawScale draws the bar with 0, half and whole, and says where it is true. It
// returns where the block ends.
func (p pen) drawScale(b scaleBar, e earth, x, y, room float64) float64 {
	t := text{regular, 8, ink}
	high := 4.2 * p.point
	top := y + p.ascent(t) + 3.2*p.point
	p.write(t, x, y+p.ascent(t), "0")
	whole := length(b.metres)
	p.writeRight(t, math.Max(x+b.pixels, x+p.measure(t, "0  "+whole)), y+p.ascent(t), whole)
	if half := length(b.metres / 2); b.parts == 4 && b.pixels > 3*p.measure(t, whole+half) {
		p.writeMiddle(t, x+b.pixels/2, y+p.ascent(t), half)
	}
	for i := range b.parts {
		p.DrawRectangle(x+b.pixels*float64(i)/float64(b.parts), top, b.pixels/float64(b.parts), high)
		p.SetColor(paper)
		if i%2 == 0 {
			p.SetColor(ink)
		}
		p.Fill()
	}
	p.DrawRectangle(x, top, b.pixels, high)
	p.SetColor(ink)
	p.SetLineWidth(0.5 * p.point)
	p.Stroke()
	words := "in metres of the plan"
	if e.known {
		words = "length on the ellipsoid at the map's middle"
	}
	return p.paragraph(text{regular, 8, quiet}, x, top+high+3*p.point, room, words)
}

// thousands writes a whole number with its digits in threes.
func thousands(v float64) string {
	digits := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	whole, rest, _ := strings.Cut(digits, ".")
	var b strings.Builder
	if v < 0 {
		b.WriteRune('−')
	}
	for i, d := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteRune(' ') // no-break space
		}
		b.WriteRune(d)
	}
	if rest != "" {
		fmt.Fprintf(&b, ".%s", rest)
	}
	return b.String()
}
