package tiles

import (
	"image/color"
	"math"
	"testing"
)

// Equal changes are equally light, greater ones darker, and the least is told
// from none.
func TestChangesAreSymmetric(t *testing.T) {
	for _, colours := range [][]color.NRGBA{NewChangeLook(5).Difference, NewChangeLook(2).Classes, NewChangeLook(5).Classes, NewChangeLook(7).Classes} {
		n := len(colours) / 2
		for d := 1; d <= n; d++ {
			less, more := lightness(colours[n-d]), lightness(colours[n+d])
			if math.Abs(less-more) > 1 {
				t.Errorf("%d of %d: L* %.1f for less, %.1f for more", d, n, less, more)
			}
			if before := lightness(colours[n+d-1]); more > before+0.5 || n < 10 && before-more < 5 {
				t.Errorf("%d of %d: L* %.1f after %.1f", d, n, more, before)
			}
		}
	}
}

// Gain and loss are told apart in colour and with every deficiency; in grey they
// cannot be, which is the price of symmetry.
func TestGainIsToldFromLoss(t *testing.T) {
	look := NewChangeLook(5)
	n := len(look.Classes) / 2
	for way, see := range asSeen() {
		if way == "in grey" {
			continue
		}
		apart := func(what string, a, b color.NRGBA, least float64) {
			t.Helper()
			if d := difference(decode(see(a)).toLab(), decode(see(b)).toLab()); d < least {
				t.Errorf("%s: %s differ by %.1f only", way, what, d)
			}
		}
		for d := 1; d <= n; d++ {
			apart("gain and loss of the same classes", look.Classes[n+d], look.Classes[n-d], 10)
		}
		apart("appeared and vanished", look.Appeared, look.Vanished, 10)
		apart("appeared and the greatest gain", look.Appeared, look.Classes[2*n], 5)
		apart("vanished and the greatest loss", look.Vanished, look.Classes[0], 5)
		apart("the two greys", look.Known, look.Unknown, 10)
		apart("the least step and none", look.Difference[101], look.Difference[100], 2)
	}
}
