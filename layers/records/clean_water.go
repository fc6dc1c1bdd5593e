package records

import "fmt"

// water flags a land animal's record that lies in open water by more than its
// uncertainty, and by at least 50 m.
func (c *cleaner) water() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		known := c.known[k]
		if c.Water == nil || known == nil || known.InWater {
			return passed(""), nil
		}
		radius := max(r.uncertaintyOr(0), waterToleranceM)
		wet, err := c.Water(r.Point, radius)
		if err != nil || !wet {
			return passed(""), err
		}
		return flagged(Held, fmt.Sprintf("everything within %s of it is open water, where the species is not met", distance(radius))), nil
	}
}

// elevations flags an animal met higher than it lives, by the lowest ground
// within its uncertainty. That an animal was not met up there is no surprise.
func (c *cleaner) elevations() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		known := c.known[k]
		if c.Elevation == nil || known == nil || known.ElevationMax == nil || r.Status == Absent {
			return passed(""), nil
		}
		lowest, sure, err := c.Elevation(r.Point, r.uncertaintyOr(0))
		if err != nil || !sure || lowest <= *known.ElevationMax {
			return passed(""), err
		}
		return flagged(Held, fmt.Sprintf("the ground lies at %.0f m, and the species is met up to %.0f m", lowest, *known.ElevationMax)), nil
	}
}
