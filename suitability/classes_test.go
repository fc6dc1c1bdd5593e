package suitability

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestClassesAreHalfOpen(t *testing.T) {
	c := DefaultClasses()
	if err := c.Check(); err != nil || len(DefaultClassWords()) != len(c)+1 {
		t.Fatalf("default classes: %v", err)
	}
	for _, x := range []struct {
		s    float64
		want int
	}{{0, 0}, {math.Nextafter(.2, 0), 0}, {.2, 1}, {.5, 2}, {math.Nextafter(.6, 0), 2}, {.6, 3}, {.8, 4}, {1, 4}, {math.NaN(), -1}} {
		if got := c.Of(x.s); got != x.want {
			t.Errorf("class of %v is %d, want %d", x.s, got, x.want)
		}
	}
	for _, b := range c { // a float32 on a break stays in its class
		if c.OfFloat32(float32(b)) != c.Of(b) {
			t.Errorf("break %g changes class as a float32", b)
		}
	}
	if c.OfFloat32(unknown32) != -1 {
		t.Error("unknown has a class")
	}
}

func TestFloat32ClassesDifferOnlyBelowABreak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Classes{rapid.Float64Range(.01, .4).Draw(t, "low"), rapid.Float64Range(.5, .99).Draw(t, "high")}
		s := rapid.OneOf(rapid.Float64Range(0, 1), rapid.Float64Range(c[0]-1e-7, c[0]+1e-7)).Draw(t, "s")
		exactly, rounded := c.Of(s), c.OfFloat32(float32(s))
		if exactly == rounded {
			return
		}
		if !(rounded == exactly+1 && c[exactly]-s > 0 && c[exactly]-s < 6e-8) {
			t.Fatalf("s %v: class %d, as a float32 %d", s, exactly, rounded)
		}
	})
}

func TestClassBreaksAreChecked(t *testing.T) {
	for _, c := range []Classes{{0}, {1}, {math.NaN()}, {.4, .4}, {.6, .2}} {
		if c.Check() == nil {
			t.Errorf("breaks %v were taken", c)
		}
	}
}

// A byte is the correct rounding of the exact S wherever S is farther than 1e-5
// from a boundary between bytes, even when S has been a float32 in between.
func TestBytesAreCorrectlyRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(0, 1).Draw(t, "s")
		step := rapid.IntRange(0, 199).Draw(t, "step")
		if rapid.Bool().Draw(t, "near a boundary") {
			s = (float64(step)+.5)*ByteScale + rapid.SampledFrom([]float64{-1.1e-5, 1.1e-5}).Draw(t, "side")
		}
		if math.Abs(math.Mod(s, ByteScale)-ByteScale/2) <= 1e-5 {
			return
		}
		want := uint8(math.Round(s / ByteScale))
		if got := EncodeByte(s); got != want {
			t.Fatalf("%v becomes %d, want %d", s, got, want)
		}
		if got := EncodeByte(float64(float32(s))); got != want {
			t.Fatalf("float32(%v) becomes %d, want %d", s, got, want)
		}
	})
}

func TestBytesThereAndBack(t *testing.T) {
	for b := range 256 {
		s := DecodeByte(uint8(b))
		if b > 200 {
			if !math.IsNaN(s) {
				t.Errorf("byte %d is %v", b, s)
			}
			continue
		}
		if EncodeByte(s) != uint8(b) || EncodeByte(float64(float32(s))) != uint8(b) {
			t.Errorf("byte %d does not come back", b)
		}
	}
	if EncodeByte(math.NaN()) != ByteNodata || EncodeByte(-1) != 0 || EncodeByte(2) != 200 {
		t.Error("values outside 0 to 1")
	}
}
