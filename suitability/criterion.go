package suitability

import (
	"math"

	"tussock/layers"
)

// Criterion is one thing that a species asks of a place: a measure, how it is
// rated, and how much it counts within its requisite.
type Criterion struct {
	ID      string
	Weight  float64 // relative to the other criteria of the requisite; 0 takes it out
	Measure layers.Measure
	Rating  Rating
	Source  string // who or what says so, or "assumption"
}

func (c Criterion) check(path string) []error {
	errs := checkInput(c.ID, c.Measure, c.Rating, path)
	return append(errs, checkWeight(c.Weight, path+".weight")...)
}

// checkInput holds what criteria and multipliers share.
func checkInput(id string, m layers.Measure, r Rating, path string) []error {
	var errs []error
	if id == "" {
		errs = append(errs, fieldError(path+".id", "it has no name"))
	}
	if m == nil {
		errs = append(errs, fieldError(path+".measure", "it has no measure"))
	}
	return append(errs, checkRating(r, path)...)
}

func checkWeight(w float64, path string) []error {
	if w >= 0 && !math.IsInf(w, 1) {
		return nil
	}
	return []error{fieldError(path, "weight %g is not a number from 0 up", w)}
}
