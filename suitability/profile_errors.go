package suitability

import (
	"fmt"
	"math"
)

// FieldError is one thing wrong with a profile, and where: Path is written with
// the keys of a project file, such as requisites[0].criteria[2].weight.
type FieldError struct {
	Path   string
	Reason string
}

func (e *FieldError) Error() string { return e.Path + ": " + e.Reason }

func fieldError(path, format string, args ...any) error {
	return &FieldError{Path: path, Reason: fmt.Sprintf(format, args...)}
}

// weightTolerance is how far a stated set of weights may be from summing to 1.
const weightTolerance = 1e-6

// CheckWeightSums lists the sets of weights that differ from a sum of 1 by more
// than 1e-6: what a person wrote down should add up, though the model itself
// divides by the sum.
func (p *Profile) CheckWeightSums() []error {
	var errs []error
	check := func(path string, sum float64) {
		if math.Abs(sum-1) > weightTolerance {
			errs = append(errs, fieldError(path, "weights sum to %.6g, not 1", sum))
		}
	}
	total := 0.0
	for i, r := range p.Requisites {
		total += r.Weight
		check(fmt.Sprintf("requisites[%d].criteria", i), r.weightSum())
	}
	if p.Rule.Kind != Ordered {
		check("requisites", total)
		return errs
	}
	total = 0
	for _, w := range p.Rule.Weights {
		total += w
	}
	check("rule.ordered", total)
	return errs
}
