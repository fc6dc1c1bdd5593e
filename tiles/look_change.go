package tiles

import (
	"image/color"
	"math"

	"tussock/suitability"
)

// The colours of change run both ways from the same near-white, umber for less
// and blue for more: the pair that people with any colour-vision deficiency tell
// apart best. Equal changes are equally light, so that neither looks greater; a
// photocopy therefore tells how much, and not which way. The numbers are the
// project's own.
const (
	changeLight, changeDark = 95.0, 34.0
	changeUmber, changeBlue = 62.0, 268.0 // degrees of hue
	changeChroma            = 46.0        // at the ends
	changeStart             = 0.12        // of the way to the dark: the least change is not mistaken for none
)

// changeAt is the colour of a change, −1 for the greatest loss to 1 for the
// greatest gain.
func changeAt(t float64) color.NRGBA {
	if t == 0 {
		return lch(changeLight, 0, 0).shown()
	}
	hue := changeBlue
	if t < 0 {
		hue = changeUmber
	}
	d := changeStart + (1-changeStart)*math.Abs(t)
	return lch(changeLight+(changeDark-changeLight)*d, changeChroma*math.Sqrt(d), hue).shown()
}

// changes are n colours each way and one between.
func changes(n int) []color.NRGBA {
	colours := make([]color.NRGBA, 2*n+1)
	for i := range colours {
		colours[i] = changeAt(float64(i-n) / float64(max(n, 1)))
	}
	return colours
}

// NewChangeLook is how comparisons of maps with so many classes are coloured.
// What appeared and what vanished are darker than any change of class, and what
// could not be compared is grey.
func NewChangeLook(classes int) suitability.ChangeLook {
	return suitability.ChangeLook{
		Difference: changes((steps - 1) / 2),
		Classes:    changes(classes - 1),
		Appeared:   lch(22, 30, changeBlue).shown(),
		Vanished:   lch(22, 30, changeUmber).shown(),
		Unknown:    lch(50, 0, 0).shown(),
		Known:      lch(74, 0, 0).shown(),
	}
}
