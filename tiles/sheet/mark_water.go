package sheet

import (
	"image"
	"image/color"

	"tussock/suitability"
)

// wave is the pattern of water: short level dashes, set apart from every pattern
// of standings, so that water is known without colour. A dash is dark, with
// light below it.
const (
	waveWidth, waveHeight = 16, 8 // its period
	waveFrom, waveTo      = 3, 9  // pixels of the dash in the upper half
)

// waveAt is the part of the pattern at a pixel: 1 the dash, 2 the light below.
func waveAt(x, y int) int {
	x, y = x%waveWidth, y%waveHeight
	if y >= waveHeight/2 {
		x, y = (x+waveWidth/2)%waveWidth, y-waveHeight/2
	}
	if x < waveFrom || x >= waveTo || y > 1 {
		return 0
	}
	return y + 1
}

// paintWater draws what the marks for water cover: filled where the map has
// nothing to say but that it is excluded, outside or beyond, and elsewhere as
// waves over what the map shows.
func paintWater(on *image.RGBA, c *cells, marks []Mark, shore int) error {
	mask, err := waterOf(c.frame, marks)
	if err != nil || mask == nil {
		return err
	}
	c.hidden = make([]bool, len(mask))
	for y := range c.height {
		for x := range c.width {
			i := y*c.width + x
			if !mask[i] {
				if !filledWater(c.standing[i]) && c.near(mask, true, x, y, shore) {
					over(on, x, y, rim) // around the shore, so that a pool shows on dark ground
				}
				continue
			}
			c.hidden[i] = filledWater(c.standing[i])
			c.waved = c.waved || !c.hidden[i]
			if colour, drawn := c.waterColour(mask, i, x, y, shore); drawn {
				over(on, x, y, colour)
			}
		}
	}
	return nil
}

// waterColour is the colour of a pixel of water; drawn is false where the map
// itself stays.
func (c *cells) waterColour(mask []bool, i, x, y, shore int) (colour color.NRGBA, drawn bool) {
	open := filledWater(c.standing[i])
	wave := waveAt(x/c.pattern, y/c.pattern)
	switch {
	case wave == 1, c.near(mask, false, x, y, shore):
		return wet, true
	case open:
		return pool, true
	case wave == 2:
		return rim, true
	}
	return colour, false
}

// filledWater tells whether water may hide what the map shows.
func filledWater(standing byte) bool {
	switch suitability.Standing(standing) {
	case 0, suitability.Excluded, suitability.Outside, suitability.Vagrant:
		return true
	}
	return false
}

// near tells whether water, or land, lies within n pixels in one of the four
// directions; beyond the map nothing is known, and no shore is drawn.
func (c *cells) near(mask []bool, water bool, x, y, n int) bool {
	for d := 1; d <= n; d++ {
		if x >= d && mask[y*c.width+x-d] == water || x+d < c.width && mask[y*c.width+x+d] == water ||
			y >= d && mask[(y-d)*c.width+x] == water || y+d < c.height && mask[(y+d)*c.width+x] == water {
			return true
		}
	}
	return false
}
