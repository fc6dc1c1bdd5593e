package records

import (
	"fmt"
	"math"
)

// bunch is the records of one species in one cell and year.
type bunch struct {
	name     string
	col, row int
	year     int
}

// thinned names the one record of each species, cell and year that is enough
// where many would only tell how often people go there: the one that may be used
// best, then the one whose place is known best, then the first. Nothing is
// dropped for it.
func (c *cleaner) thinned() look {
	chosen, count := map[bunch]int{}, map[bunch]int{}
	for k := range c.records {
		b, ok := c.bunchOf(k)
		if !ok {
			continue
		}
		if count[b]++; count[b] == 1 || c.better(k, chosen[b]) {
			chosen[b] = k
		}
	}
	return func(k int, r *Cleaned) (Outcome, error) {
		b, ok := c.bunchOf(k)
		switch {
		case !ok || count[b] == 1:
			return passed(""), nil
		case chosen[b] == k:
			return passed(fmt.Sprintf("the one to take of %d in its cell and year", count[b])), nil
		}
		return flagged(Fine, fmt.Sprintf("of %d in its cell and year %s is the one to take", count[b], c.records[chosen[b]].called())), nil
	}
}

func (c *cleaner) bunchOf(k int) (bunch, bool) {
	r := &c.records[k]
	if r.Status == Absent || !r.Date.Known() || !(c.ThinM > 0) {
		return bunch{}, false
	}
	return bunch{
		name: r.Name, year: r.Date.First.Year(),
		col: int(math.Floor((r.Point[0] - c.Area.West) / c.ThinM)),
		row: int(math.Floor((c.Area.North - r.Point[1]) / c.ThinM)),
	}, true
}

func (c *cleaner) better(k, than int) bool {
	a, b := &c.records[k], &c.records[than]
	if a.Use != b.Use {
		return a.Use < b.Use
	}
	return a.uncertaintyOr(math.Inf(1)) < b.uncertaintyOr(math.Inf(1))
}
