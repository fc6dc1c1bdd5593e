package tiles

import (
	"image/color"
	"math"
)

// The ramp runs through CIE L*C*h from pale straw over bog moss to the dark of
// a peat pool: lightness falls evenly, so that order survives a photocopier,
// and the hue drifts the same way all along. The numbers are the project's own.
const (
	rampLight, rampDark = 91.0, 22.0
	rampStraw, rampPool = 92.0, 212.0 // degrees of hue
	rampPale, rampDeep  = 24.0, 21.0  // chroma at the ends
	rampMoss            = 11.0        // chroma added in the middle
	rampLinger          = 1.35        // above 1 the ramp stays longer among straw and moss
	steps               = 201         // suitability bytes 0 to 200
	maxClasses          = 7           // more would fall below 10 steps of lightness
)

// rampAt is the colour at t, 0 for unsuitable to 1 for most suitable.
func rampAt(t float64) color.NRGBA {
	hue := rampStraw + (rampPool-rampStraw)*math.Pow(t, rampLinger)
	chroma := rampPale + (rampDeep-rampPale)*t + rampMoss*math.Sin(math.Pi*t)
	return lch(rampLight+(rampDark-rampLight)*t, chroma, hue).shown()
}

// ramp is n colours evenly spread in lightness.
func ramp(n int) []color.NRGBA {
	colours := make([]color.NRGBA, n)
	for i := range colours {
		t := 1.0
		if n > 1 {
			t = float64(i) / float64(n-1)
		}
		colours[i] = rampAt(t)
	}
	return colours
}

// The inks of patterns: dark on light ground, light on dark ground.
var (
	darkInk  = lch(14, 8, 230).shown()
	lightInk = lch(96, 6, 96).shown()
)

// inkOn is the ink that shows better on a ground.
func inkOn(ground color.NRGBA) color.NRGBA {
	if contrast(darkInk, ground) >= contrast(lightInk, ground) {
		return darkInk
	}
	return lightInk
}
