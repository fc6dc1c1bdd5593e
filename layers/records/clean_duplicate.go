package records

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
)

// sighting is what two records of one sighting share, and a bucket of places as
// wide as the cell, so that its partners lie in its own bucket or beside it.
type sighting struct {
	name, recorder, date string
	status               Status
	col, row             int
}

// duplicates flags a record of a sighting that an earlier one tells of: the same
// species on the same day by the same observer, in the cell of at least 50 m
// around the earlier one. (The cell is laid around it, since a fixed one could
// part two copies of one place.) The same identifier with the same species and
// date is the same record, wherever it lies. The first is kept; the others are
// no new animal, but nothing is wrong with them: they still tell that the
// species is there.
func (c *cleaner) duplicates() look {
	side := max(c.Area.Cell, pairedM)
	kept := map[sighting][]int{}
	byID := map[[3]string]*Cleaned{}
	return func(k int, r *Cleaned) (Outcome, error) {
		id := [3]string{r.ID, r.Name, r.Date.String()}
		if first := byID[id]; first != nil {
			return flagged(Coarse, fmt.Sprintf("%s tells of it already: the same identifier, species and date", first.Source)), nil
		}
		if r.Date.Days() == 1 {
			s := sightingOf(r, side)
			if first, ok := c.earlier(r, s, kept, side/2); ok {
				return flagged(Coarse, fmt.Sprintf("%s tells of it already: the same species, day, cell and observer", c.records[first].called())), nil
			}
			kept[s] = append(kept[s], k)
		}
		if r.ID != "" {
			byID[id] = r
		}
		return passed(""), nil
	}
}

func sightingOf(r *Cleaned, side float64) sighting {
	return sighting{
		name: r.Name, recorder: strings.ToLower(r.Recorder), date: r.Date.String(), status: r.Status,
		col: int(math.Floor(r.Point[0] / side)), row: int(math.Floor(r.Point[1] / side)),
	}
}

// earlier is the first of the kept records whose cell holds a record's place.
func (c *cleaner) earlier(r *Cleaned, s sighting, kept map[sighting][]int, half float64) (first int, found bool) {
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			beside := s
			beside.col, beside.row = s.col+dx, s.row+dy
			for _, k := range kept[beside] {
				if inCell(c.records[k].Point, r.Point, half) && (!found || k < first) {
					first, found = k, true
				}
			}
		}
	}
	return first, found
}

// inCell tells whether a place lies in the square cell around another.
func inCell(centre, p orb.Point, half float64) bool {
	return math.Abs(p[0]-centre[0]) <= half && math.Abs(p[1]-centre[1]) <= half
}
