package evidence

import "fmt"

// BrierResult is how far probabilities were from what was found.
type BrierResult struct {
	Score     float64 // mean of (probability − found)², 0 best, 1 worst
	Reference float64 // the score of telling every site the share of finds
	Skill     float64 // 1 − Score / Reference
	HasSkill  bool    // false where all sites, or none, were found
	N         int
}

// Brier scores probabilities against finds (Brier 1950, Monthly Weather Review
// 78:1-3). Suitability is no probability until visits have calibrated it: its
// score mixes ranking with scale, and says so only beside its calibration by
// class. A find that was missed counts against the map: see [CalibrationByClass].
// Without sites it is [ErrUndefined].
func Brier(probability []float64, found []bool) (BrierResult, error) {
	if len(probability) != len(found) {
		return BrierResult{}, fmt.Errorf("evidence: %d probabilities of %d sites", len(probability), len(found))
	}
	if len(found) == 0 {
		return BrierResult{}, undefined("a score of no sites")
	}
	r := BrierResult{N: len(found)}
	finds := 0.0
	for i, p := range probability {
		if !(p >= 0 && p <= 1) {
			return BrierResult{}, fmt.Errorf("%w: probability %d is %g, not from 0 to 1", ErrUnknown, i, p)
		}
		y := 0.0
		if found[i] {
			y = 1
		}
		finds += y
		r.Score += (p - y) * (p - y) / float64(r.N)
	}
	share := finds / float64(r.N)
	r.Reference = share * (1 - share)
	if r.HasSkill = r.Reference > 0; r.HasSkill {
		r.Skill = 1 - r.Score/r.Reference
	}
	return r, nil
}
