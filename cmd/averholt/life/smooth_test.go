package life

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// Of a single spike in the middle the blur keeps the sum, and its spread is that
// of a Gaussian of sigma: variance σ² along each axis.
func TestBlurHasTheVarianceOfItsGaussian(t *testing.T) {
	for _, sigma := range []float64{2, 3.5, 6, 12, 20} {
		r := newRaster(301, 301)
		r.at[150*301+150] = 1
		sum, square := 0.0, 0.0
		for i, v := range r.blurred(sigma).at {
			x := float64(i%301 - 150)
			sum, square = sum+float64(v), square+float64(v)*x*x
		}
		if math.Abs(sum-1) > 1e-5 || math.Abs(math.Sqrt(square)/sigma-1) > 0.1 {
			t.Errorf("sigma %g: sum %g, spread %g", sigma, sum, math.Sqrt(square))
		}
	}
}

func TestBlurOfAConstantIsTheConstant(t *testing.T) {
	r := newRaster(40, 30)
	for i := range r.at {
		r.at[i] = 3
	}
	for i, v := range r.blurred(9).at {
		if math.Abs(float64(v)-3) > 1e-5 {
			t.Fatalf("cell %d: %g", i, v)
		}
	}
}

func TestDistanceIsTheNearestOfAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1)) // seed 7, 1
	for range 20 {
		cols, rows := 1+rng.IntN(30), 1+rng.IntN(30)
		marked := make([]bool, cols*rows)
		for range 1 + rng.IntN(6) {
			marked[rng.IntN(len(marked))] = true
		}
		got := distance(cols, rows, func(i int) bool { return marked[i] })
		for i, v := range got.at {
			want := math.Inf(1)
			for j, m := range marked {
				if m {
					want = min(want, math.Hypot(float64(i%cols-j%cols), float64(i/cols-j/cols)))
				}
			}
			if math.Abs(float64(v)-want) > 1e-4 {
				t.Fatalf("%d by %d, cell %d: %g, want %g", cols, rows, i, v, want)
			}
		}
	}
}

// The area that contours enclose, holes taken off, is that of the ground above
// the level, to the width of the rim's half cells; outlines run anticlockwise.
func TestContourEnclosesTheHighGround(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2)) // seed 7, 2
	for range 10 {
		r := noise(rng.Uint64(), "hills", 120, 90, 5)
		r.clearRim()
		high := 0
		for _, v := range r.at {
			if v >= 0.5 {
				high++
			}
		}
		enclosed, perimeter := 0.0, 0.0
		for _, ring := range r.contour(0.5) {
			if !ring.Closed() {
				t.Fatal("an open ring")
			}
			// Rows run downwards here, so an outline is clockwise in these numbers.
			enclosed -= float64(ring.Orientation()) * math.Abs(planar.Area(ring))
			perimeter += planar.Length(ring)
		}
		if math.Abs(enclosed-float64(high)) > perimeter/4 {
			t.Errorf("enclosed %g, above %d", enclosed, high)
		}
	}
}

func TestContourJoinsSaddlesByTheirMean(t *testing.T) {
	for _, c := range []struct {
		high  float32
		rings int
	}{{3, 1}, {1.2, 2}} {
		r := newRaster(4, 4)
		r.at[5], r.at[10] = c.high, c.high
		if got := len(r.contour(1)); got != c.rings {
			t.Errorf("height %g: %d rings, want %d", c.high, got, c.rings)
		}
	}
}

// ISO/IEC 7064 MOD 11,10 finds every single wrong digit; 136695976 is a number
// with a good check digit (from memory: a published example of a VAT number that
// uses this rule).
func TestCheckDigitFindsEveryWrongDigit(t *testing.T) {
	if got := checkDigit("13669597"); got != 6 {
		t.Errorf("check digit %d, want 6", got)
	}
	for n := range 1000 {
		id := numbered("S", 3, n)
		digits, check := id[2:5], int(id[6]-'0')
		for i := range digits {
			for c := byte('0'); c <= '9'; c++ {
				other := digits[:i] + string(c) + digits[i+1:]
				if other != digits && checkDigit(other) == check {
					t.Fatalf("%s passes as %s", id, other)
				}
			}
		}
	}
}

func TestThreePointKeepsToItsEnds(t *testing.T) {
	rng, sum := stream(1, "three points"), 0.0
	for range 20000 {
		v := threePoint(rng, 0.2, 0.3, 0.9)
		if v < 0.2 || v > 0.9 {
			t.Fatal(v)
		}
		sum += v
	}
	// The mean of a triangle is the mean of its three points.
	if mean := sum / 20000; math.Abs(mean-1.4/3) > 0.005 {
		t.Errorf("mean %g", mean)
	}
}

func TestRoundedStaysWithin(t *testing.T) {
	ring := orb.Ring{{0, 0}, {400, 0}, {400, 400}, {0, 400}, {0, 0}}
	got := rounded(ring)
	if !got.Closed() || len(got) != 9 || got.Orientation() != orb.CCW || got[0] != (orb.Point{100, 0}) {
		t.Errorf("%v", got)
	}
}
