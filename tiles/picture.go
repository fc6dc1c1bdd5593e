package tiles

import (
	"image/color"

	"tussock/suitability"
)

// Pixel is the colour of pixel x, y of a picture over a cell of that value and
// standing: ground or ink, as the standing's pattern has it there. Tiles and
// finished pictures so look alike. Patterns repeat every 16 pixels.
func (p *Palette) Pixel(value, standing byte, x, y int) color.NRGBA {
	if standing > mostStanding {
		standing = nowhere
	}
	value = p.known[value]
	if standing == nowhere {
		value = nothing
	} else if value == nothing {
		standing = unvalued[standing]
	}
	ink := 0
	if pattern := patterns[standing]; pattern != nil {
		ink = int(pattern[y&(patternSide-1)] >> (x & (patternSide - 1)) & 1)
	}
	return p.colours[p.looks[lookOf(suitability.Standing(standing), ink, value)]]
}

// LegendOf is the legend of a picture that shows these values and standings.
func (p *Palette) LegendOf(about About, values, standing []byte) Legend {
	var shown seen
	for i, s := range standing {
		if s == nowhere || s > mostStanding {
			continue
		}
		if p.known[values[i]] == nothing {
			shown[unvalued[s]][0] = true
			continue
		}
		shown[s][1] = true
	}
	return p.Legend(about).of(shown)
}

// Pixel is the colour of pixel x, y of a sample of an entry.
func (l Legend) Pixel(e LegendEntry, x, y int) color.NRGBA {
	return l.palette.Pixel(e.value, byte(e.standing), x, y)
}

// Limits are a class's limits as printed beside its words; "" for others.
func (e LegendEntry) Limits() string { return e.rangeText() }

// Standing is the standing that an entry explains.
func (e LegendEntry) Standing() suitability.Standing { return e.standing }
