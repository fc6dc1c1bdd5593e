package records

import "regexp"

// aboutPlace finds words on a place in informationWithheld, which may be on
// anything.
var aboutPlace = regexp.MustCompile(`(?i)coordinate|locati|localit|place|position|uncertainty|grid`)

// generalised keeps places that were blurred before they were handed over away
// from fine maps, however sure of themselves they are: a blurred place looks like
// any other (Chapman 2020, Current Best Practices for Generalizing Sensitive
// Species Occurrence Data, doi 10.15468/doc-5jp4-5g10).
func (c *cleaner) generalised() look {
	return func(_ int, r *Cleaned) (Outcome, error) {
		switch {
		case r.Generalised != "":
			return flagged(Coarse, "its source blurred the place: "+r.Generalised), nil
		case aboutPlace.MatchString(r.Withheld):
			return flagged(Coarse, "its source withholds the place: "+r.Withheld), nil
		}
		return passed(""), nil
	}
}
