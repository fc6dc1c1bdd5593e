package evidence

import (
	"fmt"
	"math"
	"slices"
)

// AreaRow is a threshold against the cells of the area. Cells are not absences:
// it has no specificity and no kappa.
type AreaRow struct {
	Threshold   float64
	Sensitivity float64 // share of records at or above the threshold
	Area        float64 // share of the area at or above it
	Gain        float64 // Sensitivity − Area: how much better than ground taken at random
	Records     int64   // at or above
	Cells       int64   // at or above
}

// AreaThresholds is the table of presence against background, by rising
// threshold: at the values asked for, or at each distinct presence, where the
// greatest gain must lie.
func AreaThresholds(presence, background []float64, at ...float64) ([]AreaRow, error) {
	t, err := tallyOf(presence, background)
	if err != nil {
		return nil, err
	}
	return t.areaThresholds(at)
}

func (t *tally) areaThresholds(at []float64) ([]AreaRow, error) {
	if err := t.both(); err != nil {
		return nil, err
	}
	if err := known("threshold", at); err != nil {
		return nil, err
	}
	var rows []AreaRow
	for _, v := range t.thresholds(at) {
		c := t.confusion(v)
		r := AreaRow{Threshold: v, Records: c.Hits, Cells: c.FalseAlarms}
		r.Sensitivity, _ = c.Sensitivity()
		r.Area, _ = share(c.FalseAlarms, c.CorrectNegatives)
		r.Gain = r.Sensitivity - r.Area
		rows = append(rows, r)
	}
	return rows, nil
}

// thresholds are the values asked for, rising, or each distinct presence.
func (t *tally) thresholds(at []float64) []float64 {
	if len(at) > 0 {
		sorted := slices.Clone(at)
		slices.Sort(sorted)
		return slices.Compact(sorted)
	}
	var all []float64
	for i, v := range t.values {
		if t.presence[i] > 0 {
			all = append(all, v)
		}
	}
	return all
}

// MaxGain is the row with the greatest gain; of several the lowest threshold. It
// stands for the greatest sum of sensitivity and specificity, which background
// does not move (Liu, White and Newell 2013, Journal of Biogeography 40:778-789,
// from memory). Not ok without rows.
func MaxGain(rows []AreaRow) (best AreaRow, ok bool) {
	for i, r := range rows {
		if i == 0 || r.Gain > best.Gain+tiedSkill {
			best = r
		}
	}
	return best, len(rows) > 0
}

// OmissionThreshold is the greatest value below which no more than a share of the
// presences lies: 0.1 for the usual 10 % omission (common practice, no source).
func OmissionThreshold(presence []float64, omission float64) (float64, error) {
	if !(omission >= 0 && omission < 1) {
		return 0, fmt.Errorf("evidence: an omission of %g is not from 0 to under 1", omission)
	}
	if len(presence) == 0 {
		return 0, undefined("no presences")
	}
	if err := known("presence", presence); err != nil {
		return 0, err
	}
	sorted := slices.Clone(presence)
	slices.Sort(sorted)
	return sorted[int(math.Floor(omission*float64(len(sorted))+1e-9))], nil
}
