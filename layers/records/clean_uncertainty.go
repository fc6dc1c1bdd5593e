package records

import (
	"fmt"
	"slices"
)

// filledNotes are the notes of an uncertainty that was worked out when the
// record was read, and not stated by its source.
var filledNotes = []string{noteSquare, noteStep, noteFootprint}

// uncertainties flags a record whose uncertainty nobody knows: it stays unknown,
// and the record tells no more than that the species is in the area. Decimals
// are no answer, since a place read off a screen has as many as one likes; but
// where few decimals leave more open than the record states, the uncertainty is
// raised to what they leave open ([PrecisionUncertainty]).
func (c *cleaner) uncertainties() look {
	return func(_ int, r *Cleaned) (Outcome, error) {
		step := r.stepM()
		switch {
		case r.UncertaintyM == nil && step > 0:
			return flagged(Coarse, fmt.Sprintf("its uncertainty is not stated; its decimals alone leave %s open", distance(step))), nil
		case r.UncertaintyM == nil:
			return flagged(Coarse, "its uncertainty is not stated"), nil
		case *r.UncertaintyM < step:
			stated := *r.UncertaintyM
			r.UncertaintyM = &step
			return flagged(Fine, fmt.Sprintf("it states %s, but its decimals leave %s open, which counts", distance(stated), distance(step))), nil
		}
		for _, note := range filledNotes {
			if slices.Contains(r.Notes, note) {
				return passed(fmt.Sprintf("%s: %s", note, distance(*r.UncertaintyM))), nil
			}
		}
		return passed(""), nil
	}
}

// stepM is what the decimals of longitude and latitude leave open, in metres;
// 0 where the place was not given so.
func (r *Record) stepM() float64 {
	if r.ResolutionM <= 0 || !r.CRS.IsGeographic() {
		return 0
	}
	north, _ := degreeLengths(r.Given[1])
	return PrecisionUncertainty(2*r.ResolutionM/north, r.Given[1])
}

func (r *Record) uncertaintyOr(unknown float64) float64 {
	if r.UncertaintyM == nil {
		return unknown
	}
	return *r.UncertaintyM
}

// scales flags a place that is known less well than the species feels its
// surroundings: such records teach a fine map wrong things, specialists most,
// and more of them is no cure (Gábor et al. 2020, Ecography 43:256-269; authors
// and pages from memory).
func (c *cleaner) scales() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		effect := defaultEffectM
		if known := c.known[k]; known != nil && known.EffectM > 0 {
			effect = known.EffectM
		}
		if u := r.uncertaintyOr(0); u > effect {
			return flagged(Coarse, fmt.Sprintf("its uncertainty %s is larger than the %s at which the species feels its surroundings", distance(u), distance(effect))), nil
		}
		return passed(""), nil
	}
}
