package suitability

import (
	"fmt"
	"math"
	"strings"

	"tussock/layers"
)

// Rating turns a measured value into a number between 0 and 1. It is a [Curve]
// for measures that are numbers or a [Table] for measures that are classes.
type Rating interface {
	// Rate is the rating of a number, or of a class code given as a number; NaN
	// where the value is unknown or has no rating.
	Rate(value float64) float64
	check(path string) []error
	canonical() string
}

// Table rates classes: element i is the rating of the class with code i, the
// index into the layer's classes. NaN, or a code past the end, is a class that
// nobody has rated: its cells are unknown, not unsuitable.
type Table []float64

// Rate is the rating of the class with that code.
func (t Table) Rate(code float64) float64 {
	if code >= 0 && code < float64(len(t)) {
		return t[int(code)]
	}
	return math.NaN()
}

func (t Table) check(path string) []error {
	if len(t) == 0 || len(t) > layers.MaxClasses {
		return []error{fieldError(path+".table", "a table rates between 1 and %d classes, this one %d", layers.MaxClasses, len(t))}
	}
	var errs []error
	rated := false
	for code, y := range t {
		rated = rated || !math.IsNaN(y)
		if y < 0 || y > 1 {
			errs = append(errs, fieldError(fmt.Sprintf("%s.table[%d]", path, code), "rating %g is not between 0 and 1", y))
		}
	}
	if !rated {
		errs = append(errs, fieldError(path+".table", "no class has a rating"))
	}
	return errs
}

func (t Table) canonical() string {
	var b strings.Builder
	b.WriteString("table")
	for _, y := range t {
		b.WriteString(" " + exact(y))
	}
	return b.String()
}

// checkRating covers the missing rating, which no method can.
func checkRating(r Rating, path string) []error {
	if r == nil {
		return []error{fieldError(path, "there is neither a curve nor a table")}
	}
	return r.check(path)
}
