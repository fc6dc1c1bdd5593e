package sheet

import (
	"image"
	"slices"

	"tussock/suitability"
)

// columnShares are the widths of a legend's columns below a map: the scale of
// suitability, standings, and twice the ground.
var columnShares = [4]float64{0.2, 0.32, 0.24, 0.24}

// splitGround is from how many lines the legend of the ground takes two of them.
const splitGround = 6

// columns draws the legend in columns below the map; the north and the scale
// stand side by side below the ground.
func (pg *page) columns(p pen, left, top, width float64) float64 {
	gap := columnGap * p.point
	var x, each, end [len(columnShares)]float64
	next := left
	for i, share := range columnShares {
		x[i], each[i], end[i] = next, share*(width-3*gap), top
		next += each[i] + gap
	}
	pg.legendAt = image.Pt(int(left), int(top))
	end[0] = p.drawClasses(pg.legend, pg.pattern, x[0], top, each[0])
	end[1] = pg.white(p, x[1], pg.standings(p, x[1], top, each[1]), each[1])
	ground := groundEntries(pg.Marks, pg.towns)
	first := len(ground)
	if first >= splitGround {
		first = (first + 1) / 2
	}
	end[2] = p.drawGround(groundHeading, ground[:first], pg.ground(), x[2], top, each[2])
	end[3] = p.drawGround("", ground[first:], pg.ground(), x[3], top, each[3])
	end[2] = p.drawNorth(pg.earth, x[2], end[2], each[2]) + groupGap*p.point
	end[3] = p.drawScale(pg.bar, pg.earth, x[3], end[3], each[3]) + groupGap*p.point
	return slices.Max(end[:]) + 2*p.point
}

const groundHeading = "On the ground"

// column draws everything in one column beside the map.
func (pg *page) column(p pen, x, y, width float64) float64 {
	pg.legendAt = image.Pt(int(x), int(y))
	y = p.drawClasses(pg.legend, pg.pattern, x, y, width)
	y = pg.standings(p, x, y, width)
	y = pg.white(p, x, y, width)
	y = p.drawGround(groundHeading, groundEntries(pg.Marks, pg.towns), pg.ground(), x, y, width)
	y = pg.measures(p, x, y, width)
	return p.drawCautions(pg.Words, x, y, width) + blockGap*p.point
}

func (pg *page) standings(p pen, x, y, width float64) float64 {
	y = p.drawEntries(pg.legend, "Drawn over suitability", pg.legend.Marks, pg.pattern, x, y, width)
	return p.drawEntries(pg.legend, "Where none is shown", pg.legend.Places, pg.pattern, x, y, width)
}

// white says what it means where the map has no colour.
func (pg *page) white(p pen, x, y, width float64) float64 {
	return p.paragraph(noteText, x, y, width, "White: beyond the mapped area, where nothing is said. "+pg.legend.Note) + groupGap*p.point
}

// measures draws the scale bar and the north arrow.
func (pg *page) measures(p pen, x, y, width float64) float64 {
	y = p.drawScale(pg.bar, pg.earth, x, y, width) + 6*p.point
	return p.drawNorth(pg.earth, x, y, width) + groupGap*p.point
}

// ground is what samples of marks need to know of the map.
func (pg *page) ground() groundLook {
	look := groundLook{pattern: pg.pattern, under: pg.Map.Palette.Pixel(byte(len(pg.legend.Classes)/2), byte(suitability.Documented), 0, 0)}
	look.filled, look.waves = pg.cells.water()
	return look
}
