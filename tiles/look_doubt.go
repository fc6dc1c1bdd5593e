package tiles

import (
	"image/color"

	"tussock/suitability/evidence"
)

// Stability is told by lightness alone, dark where the class is sure, so that it
// is never taken for suitability and reads in grey.
const (
	stabilityLight, stabilityDark = 93.0, 30.0
	stabilityHue                  = 300.0
	stabilityChroma               = 16.0
)

// NewDoubtLook is how rasters of doubt are coloured.
func NewDoubtLook() evidence.DoubtLook {
	return evidence.DoubtLook{Stability: stabilities(), Sources: sources(), Changes: choices}
}

func stabilities() []color.NRGBA {
	colours := make([]color.NRGBA, steps)
	for i := range colours {
		t := float64(i) / (steps - 1)
		colours[i] = lch(stabilityLight+(stabilityDark-stabilityLight)*t, stabilityChroma*t, stabilityHue).shown()
	}
	return colours
}

// sources differ in lightness first: nothing, weights, curves, rule.
func sources() []color.NRGBA {
	return []color.NRGBA{lch(94, 0, 0).shown(), lch(78, 34, 95).shown(), lch(58, 36, 200).shown(), lch(36, 42, 320).shown()}
}

// choices are n colours of which the first is pale and means nothing; the others
// go round the circle of hues by the golden angle, light and dark in turn, so
// that pairs of neighbours differ in lightness.
func choices(n int) []color.NRGBA {
	colours := make([]color.NRGBA, n)
	for i := range colours {
		switch {
		case i == 0:
			colours[i] = lch(94, 0, 0).shown()
		case i%2 == 1:
			colours[i] = lch(76, 36, float64((i+1)/2)*goldenAngle).shown()
		default:
			colours[i] = lch(46, 36, float64(i/2)*goldenAngle).shown()
		}
	}
	return colours
}

// goldenAngle, in degrees, keeps any number of hues apart.
const goldenAngle = 137.508

// NewNoveltyLook is how rasters of extrapolation are coloured: pale where nothing
// is said, darker the more flags are up.
func NewNoveltyLook() evidence.NoveltyLook {
	return evidence.NoveltyLook{Flags: flagColours(), Similarity: changes((steps - 1) / 2), Variables: choices}
}

// flagColours are by the three flags' bits: knots, similarity, distance.
func flagColours() []color.NRGBA {
	hues := [8]float64{0, 95, 320, 40, 230, 150, 275, 20}
	lightness := [8]float64{94, 80, 70, 54, 76, 58, 48, 28}
	colours := make([]color.NRGBA, 8)
	for i := range colours {
		chroma := 32.0
		if i == 0 {
			chroma = 0
		}
		colours[i] = lch(lightness[i], chroma, hues[i]).shown()
	}
	return colours
}
