package evidence

import (
	"fmt"
	"math"
)

// SelectionRatio is how much more often than by chance records lie in a class or
// in an interval of a measure.
type SelectionRatio struct {
	Class     int     // its place, from 0
	Low, High float64 // of the interval, half open but for the last; 0 for a class
	Used      int64   // records
	Available float64 // area, in the caller's unit
	UsedShare float64
	AreaShare float64

	// Ratio is UsedShare / AreaShare; 1 is chance. It is undefined, and HasRatio
	// false, where the class has no area.
	Ratio    float64
	HasRatio bool

	// RatioLow and RatioHigh hold the ratio in 95 cases of 100 if records were
	// independent, which those of volunteers seldom are: then it is too narrow.
	RatioLow, RatioHigh float64
}

// SelectionRatios compares the records in each class with its area, which is
// known without error: w = (u/U)/(a/A), with the interval of Wilson (1927),
// Journal of the American Statistical Association 22:209-212, for the share u/U,
// by the share of area (Manly et al. 2002, Resource Selection by Animals, second
// edition, chapter 4, from memory; they use the normal interval). Areas are in
// any one unit. No record or no area at all is [ErrUndefined].
func SelectionRatios(used []int64, area []float64) ([]SelectionRatio, error) {
	records, ground, err := usedAndArea(used, area)
	if err != nil {
		return nil, err
	}
	rows := make([]SelectionRatio, len(used))
	for i := range rows {
		rows[i] = selectionRatio(used[i], records, area[i], ground)
		rows[i].Class = i
	}
	return rows, nil
}

func selectionRatio(u, records int64, a, ground float64) SelectionRatio {
	r := SelectionRatio{Used: u, Available: a, UsedShare: float64(u) / float64(records), AreaShare: a / ground}
	if r.HasRatio = a > 0; r.HasRatio {
		low, high := wilson(u, records)
		r.Ratio, r.RatioLow, r.RatioHigh = r.UsedShare/r.AreaShare, low/r.AreaShare, high/r.AreaShare
	}
	return r
}

func usedAndArea(used []int64, area []float64) (records int64, ground float64, err error) {
	if len(used) != len(area) {
		return 0, 0, fmt.Errorf("evidence: %d classes of records against %d of area", len(used), len(area))
	}
	if err := known("area", area); err != nil {
		return 0, 0, err
	}
	for i := range used {
		if used[i] < 0 || area[i] < 0 {
			return 0, 0, fmt.Errorf("evidence: class %d holds %d records and an area of %g", i, used[i], area[i])
		}
		records += used[i]
		ground += area[i]
	}
	if records == 0 || ground == 0 {
		return 0, 0, undefined("%d records on an area of %g", records, ground)
	}
	return records, ground, nil
}

// wilson holds a share k/n in 95 cases of 100; n > 0.
func wilson(k, n int64) (low, high float64) {
	p, z2 := float64(k)/float64(n), z95*z95/float64(n)
	middle := (p + z2/2) / (1 + z2)
	half := math.Sqrt(p*(1-p)*z2+z2*z2/4) / (1 + z2)
	return max(0, middle-half), min(1, middle+half)
}
