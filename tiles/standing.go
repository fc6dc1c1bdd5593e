package tiles

import (
	"image/color"

	"tussock/suitability"
)

// flat is the look of a place that shows no suitability.
type flat struct{ ground, ink color.NRGBA }

// flats are neutral, apart from the ramp in chroma, and each has a pattern of
// its own besides (patterns), as colour alone must not carry a meaning. Outside
// is a pale veil with few dots, which lets the map below through; what lies
// beyond the area is clear.
var flats = map[suitability.Standing]flat{
	suitability.Outside:     {veil(lch(88, 2, 260).shown(), 140), lch(50, 3, 260).shown()},
	suitability.Historic:    {lch(89, 7, 330).shown(), lch(45, 14, 330).shown()},
	suitability.Edge:        {lch(93, 4, 300).shown(), lch(50, 10, 300).shown()},
	suitability.Vagrant:     {lch(92, 3, 260).shown(), lch(55, 4, 260).shown()},
	suitability.Excluded:    {lch(80, 2, 260).shown(), lch(43, 3, 260).shown()},
	suitability.NotAssessed: {lch(87, 1, 90).shown(), lch(48, 2, 90).shown()},
}

func veil(c color.NRGBA, alpha uint8) color.NRGBA {
	c.A = alpha
	return c
}

// showsValues tells whether suitability is shown where a standing holds: where
// it is not, the standing alone speaks, whatever the value byte.
func showsValues(s suitability.Standing) bool {
	switch s {
	case suitability.Outside, suitability.Vagrant, suitability.Excluded, suitability.NotAssessed:
		return false
	}
	return true
}

// flatOf is the look of a standing without a value. A documented place without
// one has not been assessed.
func flatOf(s suitability.Standing) flat {
	f, ok := flats[s]
	if !ok {
		f = flats[suitability.NotAssessed]
	}
	return f
}

// unvalued is the standing of a pixel whose value is not known: a place that
// would show one has not been assessed.
var unvalued = func() (by [standings]byte) {
	for s := range by {
		by[s] = byte(suitability.NotAssessed)
		if _, own := flats[suitability.Standing(s)]; own || s == nowhere {
			by[s] = byte(s)
		}
	}
	return by
}()
