package records

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"
)

// impossible flags a place outside the area by more than the margin and its own
// uncertainty, and a day after the reference date.
func (c *cleaner) impossible() look {
	area, bounded := c.bound()
	return func(_ int, r *Cleaned) (Outcome, error) {
		if off := beyond(area, r.Point); bounded && off > *c.MarginM+r.uncertaintyOr(0) {
			return flagged(Held, fmt.Sprintf("it lies %s outside the area", distance(off))), nil
		}
		if !c.Reference.IsZero() && r.Date.First.After(c.Reference) {
			return flagged(Held, fmt.Sprintf("its date %s is after the reference date %s", r.Date, c.Reference.Format(time.DateOnly))), nil
		}
		return passed(""), nil
	}
}

// beyond is how far a place is from a bound; 0 inside it.
func beyond(b orb.Bound, p orb.Point) float64 {
	return math.Hypot(max(b.Min[0]-p[0], p[0]-b.Max[0], 0), max(b.Min[1]-p[1], p[1]-b.Max[1], 0))
}

// slips are the ways in which two coordinates are mixed up. Each is tried alone,
// and the simplest one that fits is named.
var slips = []struct {
	words string
	mend  func(p orb.Point) orb.Point
}{
	{"its two coordinates swapped", func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }},
	{"the sign of its first coordinate turned", func(p orb.Point) orb.Point { return orb.Point{-p[0], p[1]} }},
	{"the sign of its second coordinate turned", func(p orb.Point) orb.Point { return orb.Point{p[0], -p[1]} }},
	{"both signs turned", func(p orb.Point) orb.Point { return orb.Point{-p[0], -p[1]} }},
	{"its two coordinates swapped and the sign of the first turned", func(p orb.Point) orb.Point { return orb.Point{-p[1], p[0]} }},
	{"its two coordinates swapped and the sign of the second turned", func(p orb.Point) orb.Point { return orb.Point{p[1], -p[0]} }},
	{"its two coordinates swapped and both signs turned", func(p orb.Point) orb.Point { return orb.Point{-p[1], -p[0]} }},
}

// axes flags a place outside the area that a swap or a turned sign would bring
// into it. The place is left where it is: only a person knows.
func (c *cleaner) axes() look {
	area, bounded := c.bound()
	return func(_ int, r *Cleaned) (Outcome, error) {
		if !bounded || beyond(area, r.Point) <= *c.MarginM+r.uncertaintyOr(0) {
			return passed(""), nil
		}
		for _, s := range slips {
			mended := s.mend(r.Given)
			if mended == r.Given {
				continue
			}
			at, err := c.ways.point(r.CRS, mended)
			if err != nil {
				return Outcome{}, err
			}
			if !nowhere(at) && area.Contains(at) { // a bound takes NaN for inside
				return flagged(Held, "with "+s.words+" it would lie in the area"), nil
			}
		}
		return passed(""), nil
	}
}

// distance is metres in words.
func distance(m float64) string {
	if m >= 10_000 {
		return fmt.Sprintf("%.0f km", m/1000)
	}
	if m >= 1000 {
		return fmt.Sprintf("%.1f km", m/1000)
	}
	return fmt.Sprintf("%.0f m", m)
}
