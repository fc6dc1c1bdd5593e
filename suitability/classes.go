package suitability

import (
	"fmt"
	"math"
	"sort"
)

// Classes are the breaks between classes of suitability, rising, between 0 and
// 1. Classes are half open, [break, next break), and are taken from the exact
// suitability, before it is rounded to a byte.
type Classes []float64

// DefaultClasses are five classes of equal width: common practice, no source,
// and arbitrary until visits have told what each class means for a species.
func DefaultClasses() Classes { return Classes{0.2, 0.4, 0.6, 0.8} }

// DefaultClassWords name the five default classes, from the lowest.
func DefaultClassWords() []string { return []string{"poor", "weak", "some", "good", "strong"} }

// Check tells whether the breaks rise and lie between 0 and 1, and whether
// their number leaves room for the code of an unknown class.
func (c Classes) Check() error {
	if len(c) > 100 {
		return fmt.Errorf("suitability: %d class breaks are more than 100", len(c))
	}
	for i, b := range c {
		if !(b > 0 && b < 1) {
			return fmt.Errorf("suitability: class break %g is not between 0 and 1", b)
		}
		if i > 0 && !(c[i-1] < b) {
			return fmt.Errorf("suitability: class break %g does not rise above the one before it, %g", b, c[i-1])
		}
	}
	return nil
}

// Of is the class of a suitability, counted from 0; −1 where it is unknown.
func (c Classes) Of(s float64) int {
	if math.IsNaN(s) {
		return -1
	}
	return sort.Search(len(c), func(i int) bool { return c[i] > s })
}

// OfFloat32 is the class of a suitability that was rounded to float32, as the
// evaluator writes it. Breaks are rounded alike, so that a suitability on a
// break keeps its class; it can differ from the exact class only within 3e-8
// below a break.
func (c Classes) OfFloat32(s float32) int {
	if s != s {
		return -1
	}
	class := 0
	for _, b := range c {
		if s >= float32(b) {
			class++
		}
	}
	return class
}

// Suitability as a byte: whole steps of ByteScale, ByteNodata for unknown.
const (
	ByteScale  = 0.005
	ByteNodata = 255

	byteSteps = 200 // steps from 0 to 1
)

// EncodeByte rounds a suitability to the nearest step, halves upwards; values
// outside 0 to 1 are taken to the nearer end, NaN to ByteNodata.
func EncodeByte(s float64) uint8 {
	switch {
	case math.IsNaN(s):
		return ByteNodata
	case s <= 0:
		return 0
	case s >= 1:
		return byteSteps
	}
	return uint8(s*byteSteps + 0.5)
}

// DecodeByte is the suitability of a byte; NaN for ByteNodata and for bytes
// that EncodeByte never gives.
func DecodeByte(b uint8) float64 {
	if b > byteSteps {
		return math.NaN()
	}
	return float64(b) / byteSteps
}
