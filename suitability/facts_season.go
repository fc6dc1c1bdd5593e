package suitability

import "time"

// Season is when a species can be met.
type Season struct {
	Active []float64    // twelve shares from January, 1 at the height; nil where nothing was said
	Best   []time.Month // the best for finding it
	First  int          // ISO weeks within which a record is plausible; both 0 where nothing was said
	Last   int          // less than First where the season runs over the new year
}

// Plausible tells whether a record of that ISO week (1 to 53) is to be
// expected. Every week is where nothing was said. ISO 8601 gives some years a
// week 53, the days of which are week 52 or 1 of other years, so 53 counts as
// plausible where either of these does.
func (s Season) Plausible(week int) bool {
	switch {
	case s.First == 0 && s.Last == 0:
		return true
	case week == 53:
		return s.holds(53) || s.holds(52) || s.holds(1)
	}
	return s.holds(week)
}

func (s Season) holds(week int) bool {
	if s.First <= s.Last {
		return s.First <= week && week <= s.Last
	}
	return week >= s.First || week <= s.Last
}
