package records

import (
	"cmp"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"
	"tussock/layers"
)

const (
	centreToleranceM = 10.0 // how near to a centre is at it, besides the record's own decimals
	squareToleranceM = 1.0  // the same for a square's middle or corner, which is an exact number
	coarsestStepM    = 20.0 // decimals that leave more open cannot tell a square's middle from chance
	roundedDown      = 0.99 // 700 m states 707 m
	repeats          = 3    // species, or days, that make a place stand out
)

// squares are the sides, in metres, of the squares that places are often given
// to, and marks their points: how far they lie from a corner along both axes,
// and how far they are from the farthest corner of a square that they may stand
// for, both as shares of the side.
var (
	squares = []float64{10_000, 2000, 1000}
	marks   = []struct {
		words         string
		offset, reach float64
	}{{"middle", 0.5, math.Sqrt2 / 2}, {"corner", 0, math.Sqrt2}}
)

// centres flags a place that may only stand for another: the office, the middle
// of a named place, the middle or corner of a grid square, or a place given over
// and over. A record that states an uncertainty as large as what it stands for
// says so itself, and is not flagged.
func (c *cleaner) centres() look {
	crowds := c.crowds()
	gridded := !c.Area.CRS.IsLocal() && c.Area.CRS.Metre()
	return func(_ int, r *Cleaned) (Outcome, error) {
		tolerance := max(centreToleranceM, r.stepM()/2)
		if place := c.placeOf(r, tolerance); place != nil && place.Office {
			return flagged(Held, "it lies at an office, where records are written up"), nil
		} else if place != nil {
			return flagged(Coarse, fmt.Sprintf("it lies at the middle of %s and states no such uncertainty", place.Name)), nil
		}
		if words := r.ofSquare(); gridded && words != "" {
			return flagged(Coarse, words), nil
		}
		return crowds[r.spot()].outcome(r), nil
	}
}

func near(a, b orb.Point, within float64) bool {
	return math.Hypot(a[0]-b[0], a[1]-b[1]) <= within
}

// placeOf is the named place that a record's own place may stand for: an office,
// whatever the record states, or else the first that reaches farther than its
// uncertainty.
func (c *cleaner) placeOf(r *Cleaned, tolerance float64) (found *NamedPlace) {
	for i := range c.Centres {
		place := &c.Centres[i]
		if !near(r.Point, place.At, tolerance) {
			continue
		}
		if place.Office {
			return place
		}
		reach := cmp.Or(place.RadiusM, defaultCentreM)
		if found == nil && max(r.uncertaintyOr(0), tolerance) < reach {
			found = place
		}
	}
	return found
}

// ofSquare says which square a place is the middle or a corner of, unless its
// uncertainty says as much.
func (r *Record) ofSquare() string {
	tolerance := max(squareToleranceM, r.stepM()/2)
	if tolerance > coarsestStepM/2 {
		return ""
	}
	for _, side := range squares {
		for _, m := range marks {
			if r.uncertaintyOr(0) < roundedDown*m.reach*side && onLattice(r.Point, side, m.offset*side, tolerance) {
				return fmt.Sprintf("it lies at the %s of a square of %s and states no such uncertainty", m.words, distance(side))
			}
		}
	}
	return ""
}

func onLattice(p orb.Point, side, offset, tolerance float64) bool {
	for _, v := range p {
		if math.Abs(math.Remainder(v-offset, side)) > tolerance {
			return false
		}
	}
	return true
}

// spot is a place exactly as it was given.
type spot struct {
	at  orb.Point
	crs layers.CRS
}

func (r *Record) spot() spot { return spot{r.Given, r.CRS} }

// crowd is what came from one spot.
type crowd struct {
	records int
	species map[string]bool
	days    map[time.Time]bool
}

func (c *cleaner) crowds() map[spot]*crowd {
	all := map[spot]*crowd{}
	for i := range c.records {
		r := &c.records[i]
		v := all[r.spot()]
		if v == nil {
			v = &crowd{species: map[string]bool{}, days: map[time.Time]bool{}}
			all[r.spot()] = v
		}
		v.records++
		v.species[r.Name] = true
		if r.Date.Known() {
			v.days[r.Date.First] = true
		}
	}
	return all
}

// outcome of a place given over and over: a site visited again and again, or a
// centre that is in no list. A record that states how well its place is known is
// believed; the flag is there for a person to see.
func (v *crowd) outcome(r *Cleaned) Outcome {
	if len(v.species) < repeats && len(v.days) < repeats || r.uncertaintyOr(0) >= SquareUncertainty(100) {
		return passed("")
	}
	use := Fine
	if r.UncertaintyM == nil {
		use = Coarse
	}
	return flagged(use, fmt.Sprintf("the very same place was given by %d records of %d species on %d days: a site, or a centre that stands for somewhere else", v.records, len(v.species), len(v.days)))
}
