package sheet

import (
	"image"

	"tussock/tiles"
)

// Sizes of a legend, in points.
const (
	sampleWidth, sampleHeight = 27.0, 12.5
	sampleGap                 = 5.5 // to the words
	entryGap                  = 3.0 // between entries
	groupGap                  = 8.0
)

var (
	headingText = text{bold, 9.5, ink}
	entryText   = text{regular, 9, ink}
	limitText   = text{regular, 8, quiet}
	noteText    = text{regular, 8, quiet}
)

// drawClasses draws the scale of suitability, one class on the other without a
// gap, the highest on top. It returns where it ends.
func (p pen) drawClasses(l tiles.Legend, pattern int, x, y, width float64) float64 {
	y = p.paragraph(headingText, x, y, width, l.Heading) + 2*p.point
	high := (sampleHeight + 2) * p.point
	for _, e := range l.Classes {
		p.sample(l, e, pattern, x, y, high)
		base := y + high/2 + p.ascent(entryText)/2
		left := x + (sampleWidth+sampleGap)*p.point
		p.write(entryText, left, base, e.Words)
		p.write(limitText, left+p.measure(entryText, e.Words)+5*p.point, base, e.Limits())
		y += high
	}
	return y + groupGap*p.point
}

// drawEntries draws marks or places of a legend under a heading.
func (p pen) drawEntries(l tiles.Legend, heading string, entries []tiles.LegendEntry, pattern int, x, y, width float64) float64 {
	if len(entries) == 0 {
		return y
	}
	y = p.paragraph(headingText, x, y, width, heading) + 2*p.point
	for _, e := range entries {
		p.sample(l, e, pattern, x, y, sampleHeight*p.point)
		y = p.beside(x, y, width, e.Words)
	}
	return y + (groupGap-entryGap)*p.point
}

// beside sets the words beside a sample whose top is y, and returns where the
// entry ends.
func (p pen) beside(x, y, width float64, words string) float64 {
	left := x + (sampleWidth+sampleGap)*p.point
	lines := p.wrap(entryText, words, width-(left-x))
	base := y + sampleHeight*p.point/2 + p.ascent(entryText)/2
	for i, line := range lines {
		p.write(entryText, left, base+float64(i)*p.lineHeight(entryText), line)
	}
	return y + sampleHeight*p.point + float64(len(lines)-1)*p.lineHeight(entryText) + entryGap*p.point
}

// sample paints a sample of an entry as the map shows it, and frames it.
func (p pen) sample(l tiles.Legend, e tiles.LegendEntry, pattern int, x, y, high float64) {
	to := p.Image().(*image.RGBA)
	box := image.Rect(int(x), int(y), int(x+sampleWidth*p.point), int(y+high)).Intersect(to.Bounds())
	for py := box.Min.Y; py < box.Max.Y; py++ {
		for px := box.Min.X; px < box.Max.X; px++ {
			over(to, px, py, l.Pixel(e, (px-box.Min.X)/pattern, (py-box.Min.Y)/pattern))
		}
	}
	p.frameBox(x, y, sampleWidth*p.point, high)
}

func (p pen) frameBox(x, y, width, height float64) {
	p.DrawRectangle(x, y, width, height)
	p.SetColor(ink)
	p.SetLineWidth(0.5 * p.point)
	p.Stroke()
}
