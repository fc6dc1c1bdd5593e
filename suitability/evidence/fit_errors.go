package evidence

import (
	"errors"
	"fmt"
	"strings"
)

// ErrNoPoints is returned where there is nothing to fit an intensity to.
var ErrNoPoints = errors.New("evidence: no points, or no area to compare them with")

// CollinearError names columns of which one is a combination of the others, so
// that their coefficients cannot be told apart.
type CollinearError struct{ Columns []string }

func (e *CollinearError) Error() string {
	return fmt.Sprintf("evidence: %s cannot be told apart: one follows from the others\nhint: leave one of them out, or give it a prior",
		strings.Join(e.Columns, ", "))
}

// SeparationError names a column whose coefficient would grow without end: the
// points (or the places without any) lie wholly on one side of it.
type SeparationError struct {
	Column string
	At     float64 // where the search was when it gave up
}

func (e *SeparationError) Error() string {
	return fmt.Sprintf("evidence: %s separates the points from the rest: its coefficient has no finite best value (reached %.3g)\nhint: give it a prior, or more records",
		e.Column, e.At)
}

// NotConvergedError says how far the search came.
type NotConvergedError struct {
	Iterations int
	Gradient   float64 // relative
}

func (e *NotConvergedError) Error() string {
	return fmt.Sprintf("evidence: no optimum after %d iterations: the relative gradient is still %.3g", e.Iterations, e.Gradient)
}
