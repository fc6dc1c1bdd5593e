package tiles

import "image/color"

// Sight is a way in which a picture may be seen.
type Sight struct {
	Name string // "in grey", "with protanopia"
	See  func(color.NRGBA) color.NRGBA
}

// Sights are the ways in which every picture must keep its meaning: as it is,
// photocopied, and with each of the three colour-vision deficiencies.
func Sights() []Sight {
	list := []Sight{
		{"in colour", func(c color.NRGBA) color.NRGBA { return c }},
		{"in grey", Grey},
	}
	for _, d := range deficiencies {
		list = append(list, Sight{"with " + d.name, d.see})
	}
	return list
}

// Grey is a colour as a photocopier keeps it: its lightness alone.
func Grey(c color.NRGBA) color.NRGBA { return grey(c) }

// Contrast is the contrast ratio of two opaque colours, 1 to 21, as WCAG 2.x
// defines it: text needs 4.5, lines and marks 3.
func Contrast(a, b color.NRGBA) float64 { return contrast(a, b) }

// Lightness is the CIE 1976 L* of an opaque colour, 0 black to 100 white.
func Lightness(c color.NRGBA) float64 { return lightness(c) }

// Tone is the colour of a lightness (0 to 100), a chroma and a hue in degrees
// of CIE L*C*h under D65; chroma is drawn in where a screen cannot show it.
func Tone(lightness, chroma, hue float64) color.NRGBA { return lch(lightness, chroma, hue).shown() }
