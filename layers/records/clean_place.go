package records

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"tussock/layers"
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
			return flagged(Held, fmt.Sprintf("its date %s is after the reference date %s", r.Date, c.Reference.Format("2006-01-02"))), nil
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
			at, err := c.places.on(r.CRS, mended)
			if err != nil {
				return Outcome{}, err
			}
			if area.Contains(at) {
				return flagged(Held, "with "+s.words+" it would lie in the area"), nil
			}
		}
		return passed(""), nil
	}
}

// places brings single places to the area's CRS.
type places struct {
	to    layers.CRS
	known map[layers.CRS]*layers.Transform
}

// on is a place on the area's CRS; NaN where it lies nowhere there.
func (p *places) on(from layers.CRS, at orb.Point) (orb.Point, error) {
	t, ok := p.known[from]
	if !ok {
		var err error
		if t, err = layers.NewTransform(from, p.to); err != nil {
			return at, err
		}
		if p.known == nil {
			p.known = map[layers.CRS]*layers.Transform{}
		}
		p.known[from] = t
	}
	xs, ys := []float64{at[0]}, []float64{at[1]}
	err := t.Points(xs, ys)
	return orb.Point{xs[0], ys[0]}, err
}

func (p *places) close() {
	for _, t := range p.known {
		_ = t.Close()
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
