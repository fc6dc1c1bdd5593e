package tiles

import (
	"image/color"

	"tussock/suitability"
)

// standingColours are for the raster of standings, where a place that shows
// suitability on the map needs a colour too. Each differs from the next in
// lightness.
var standingColours = map[suitability.Standing]color.NRGBA{
	suitability.Documented:         lch(45, 26, 165).shown(),
	suitability.Uncertain:          lch(66, 22, 165).shown(),
	suitability.Introduced:         lch(58, 26, 60).shown(),
	suitability.RangeNotDocumented: lch(76, 12, 110).shown(),
}

// NewLook is how surfaces with so many classes are coloured inside their files:
// as on the tiles.
func NewLook(classes int) suitability.Look {
	look := suitability.Look{Ramp: ramp(steps), Classes: ramp(classes), Standings: map[suitability.Standing]color.NRGBA{}}
	for _, s := range suitability.Standings() {
		c, ok := standingColours[s]
		if !ok {
			c = flats[s].ground
			c.A = 255
		}
		look.Standings[s] = c
	}
	return look
}
