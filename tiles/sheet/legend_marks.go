package sheet

import (
	"image"
	"image/color"

	"github.com/paulmach/orb"
)

// groundEntry is a line of the legend of what is drawn over the map; without a
// mark, that of towns and villages.
type groundEntry struct {
	mark  *Mark
	words string
}

// groundLook is what samples of marks show of the map.
type groundLook struct {
	pattern       int
	under         color.NRGBA // a class of suitability
	filled, waves bool        // how water occurs: in place of the map, and as waves over suitability
}

// groundEntries are the lines of a legend, each kind once.
func groundEntries(marks []Mark, towns bool) []groundEntry {
	var list []groundEntry
	seen := map[string]bool{}
	for i := range marks {
		if words := marks[i].words(); !seen[words] {
			seen[words] = true
			list = append(list, groundEntry{&marks[i], words})
		}
	}
	if towns {
		list = append(list, groundEntry{nil, "town or village"})
	}
	return list
}

// drawGround explains what is drawn over the map.
func (p pen) drawGround(heading string, list []groundEntry, look groundLook, x, y, width float64) float64 {
	if len(list) == 0 {
		return y
	}
	y = p.paragraph(headingText, x, y, width, heading) + 2*p.point
	for _, e := range list {
		if e.mark == nil {
			p.dot(x+sampleWidth*p.point/2, y+sampleHeight*p.point/2)
		} else {
			p.markSample(*e.mark, look, x, y)
		}
		y = p.beside(x, y, width, e.words)
	}
	return y + (groupGap-entryGap)*p.point
}

// markSample draws a mark as the map has it: a line across, water as a field,
// small pools as their sign.
func (p pen) markSample(m Mark, look groundLook, x, y float64) {
	wide, high := sampleWidth*p.point, sampleHeight*p.point
	switch {
	case m.Symbol == Water && len(m.Shapes) > 0 && m.Shapes[0].Dimensions() == 0:
		p.pool(x+wide/2, y+high/2)
	case m.Symbol == Water && (m.Holds != nil || m.Shapes[0].Dimensions() == 2):
		p.waterSample(look, x, y)
	default:
		s := m.stroke()
		line := []orb.LineString{{{x, y + high/2}, {x + wide, y + high/2}}}
		p.strokeAll(onPaper, line, s.casing, nil, rim)
		p.core(onPaper, line, m)
		p.strokeAll(onPaper, line, s.inner, nil, pool)
	}
}

// waterSample is a field of water with its shore: filled, as waves over
// suitability, or half of each, as the map has it.
func (p pen) waterSample(look groundLook, x, y float64) {
	to := p.Image().(*image.RGBA)
	box := image.Rect(int(x), int(y), int(x+sampleWidth*p.point), int(y+sampleHeight*p.point)).Intersect(to.Bounds())
	filledTo := box.Max.X
	switch {
	case look.waves && !look.filled:
		filledTo = box.Min.X
	case look.waves:
		filledTo = (box.Min.X + box.Max.X) / 2
	}
	for py := box.Min.Y; py < box.Max.Y; py++ {
		for px := box.Min.X; px < box.Max.X; px++ {
			wave := waveAt((px-box.Min.X)/look.pattern, (py-box.Min.Y)/look.pattern)
			over(to, px, py, look.water(wave, px < filledTo))
		}
	}
	p.DrawRectangle(x, y, sampleWidth*p.point, sampleHeight*p.point)
	p.SetColor(wet)
	p.SetLineWidth(0.5 * p.point)
	p.Stroke()
}

func (l groundLook) water(wave int, filled bool) color.NRGBA {
	switch {
	case wave == 1:
		return wet
	case filled:
		return pool
	case wave == 2:
		return rim
	}
	return l.under
}

// onPaper takes points for pixels of the page.
func onPaper(p orb.Point) (x, y float64) { return p[0], p[1] }
