package suitability

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// Knot is one point of a curve: at measure X the rating is Y.
type Knot struct{ X, Y float64 }

// Curve is a suitability index curve: straight between its knots, level beyond
// the first and the last (U.S. Fish and Wildlife Service 1981, Ecological
// Services Manual 103). X is in the measure's unit and rises from knot to knot;
// Y lies between 0 and 1.
type Curve []Knot

// maxKnots is far above what a person would draw.
const maxKnots = 1000

// PressureCurve is the factor 1 − strength·pressure for a pressure between 0
// and 1, such as traffic faded by distance.
func PressureCurve(strength float64) Curve {
	return Curve{{X: 0, Y: 1}, {X: 1, Y: 1 - strength}}
}

// Rate is the curve's height at a measured value; NaN for an unknown one.
func (c Curve) Rate(x float64) float64 {
	if math.IsNaN(x) || len(c) == 0 {
		return math.NaN()
	}
	i := sort.Search(len(c), func(i int) bool { return c[i].X > x })
	switch i {
	case 0:
		return c[0].Y
	case len(c):
		return c[i-1].Y
	}
	low, high := lowFirst(c[i-1], c[i])
	return low.Y + (high.Y-low.Y)*((x-low.X)/(high.X-low.X))
}

// lowFirst lets a straight piece start from its lower end, so that a rating near
// 0 keeps all its digits: a geometric mean would magnify the loss.
func lowFirst(a, b Knot) (low, high Knot) {
	if b.Y < a.Y {
		return b, a
	}
	return a, b
}

func (c Curve) check(path string) []error { return checkKnots(c, path+".curve", "measure") }

// checkKnots checks a curve that stands at a path; x says what X is.
func checkKnots(c Curve, path, x string) []error {
	if len(c) < 2 || len(c) > maxKnots {
		return []error{fieldError(path, "a curve has 2 to %d knots, this one %d", maxKnots, len(c))}
	}
	var errs []error
	for i, k := range c {
		at := knotPath(path, i)
		if !(math.Abs(k.X) <= math.MaxFloat32) {
			errs = append(errs, fieldError(at, "%g is no usable %s", k.X, x))
		}
		if !(k.Y >= 0 && k.Y <= 1) {
			errs = append(errs, fieldError(at, "rating %g is not between 0 and 1", k.Y))
		}
		// Measures are float32, so that is where two knots must differ.
		if i > 0 && !(float32(c[i-1].X) < float32(k.X)) {
			errs = append(errs, fieldError(at, "%s %g does not rise above the knot before it, %g", x, k.X, c[i-1].X))
		}
	}
	return errs
}

func knotPath(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }

func (c Curve) canonical() string {
	var b strings.Builder
	b.WriteString("curve")
	for _, k := range c {
		b.WriteString(" " + exact(k.X) + " " + exact(k.Y))
	}
	return b.String()
}
