package evidence

import (
	"cmp"
	"fmt"
	"slices"
)

// DefaultAreaShares are the rows of the table of records by area: the best
// hundredth of the ground, and so on (own choice).
func DefaultAreaShares() []float64 { return []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.75} }

// LiftRow is a share of the area, its best ground first, and the share of records
// found on it.
type LiftRow struct {
	Area    float64
	Records float64
	Times   float64 // Records / Area: how many times better than ground taken at random
}

// Lift tells which share of the records lies on the best share of the area. Cells
// that tie are taken at random: the expected share, by straight lines. The area
// under the whole curve is the AUC. Without shares, those of [DefaultAreaShares].
func Lift(presence, background []float64, shares ...float64) ([]LiftRow, error) {
	t, err := tallyOf(presence, background)
	if err != nil {
		return nil, err
	}
	return t.lift(shares)
}

func (t *tally) lift(shares []float64) ([]LiftRow, error) {
	if err := t.both(); err != nil {
		return nil, err
	}
	if len(shares) == 0 {
		shares = DefaultAreaShares()
	}
	rows := make([]LiftRow, 0, len(shares))
	for _, area := range shares {
		if !(area > 0 && area <= 1) {
			return nil, fmt.Errorf("evidence: a share of area of %g is not above 0 and up to 1", area)
		}
		found := t.foundOn(area)
		rows = append(rows, LiftRow{Area: area, Records: found, Times: found / area})
	}
	slices.SortStableFunc(rows, func(a, b LiftRow) int { return cmp.Compare(a.Area, b.Area) })
	return rows, nil
}

// foundOn walks down from the best value until the area is used up.
func (t *tally) foundOn(area float64) float64 {
	m, n := t.totals()
	left, found := area*float64(n), 0.0
	for i := len(t.values) - 1; i >= 0; i-- {
		p, b := float64(t.presence[i]), float64(t.background[i])
		if b > left {
			found += p * left / b
			break
		}
		found, left = found+p, left-b
	}
	return found / float64(m)
}
