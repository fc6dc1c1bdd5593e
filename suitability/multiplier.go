package suitability

import "tussock/layers"

// Multiplier is a factor on the whole suitability: shading out, sealed ground,
// traffic. It has no weight and no floor.
type Multiplier struct {
	ID      string
	Measure layers.Measure
	Rating  Rating
	Source  string // who or what says so, or "assumption"
}

func (m Multiplier) check(path string) []error {
	return checkInput(m.ID, m.Measure, m.Rating, path)
}
