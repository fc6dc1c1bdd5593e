package records

import "fmt"

// mostGroundCells is how many cells around a place are read, at most: an
// uncertainty is a number of a file, and must not decide how much memory is used.
const mostGroundCells = 1000

// tooWide tells a radius within which the ground says nothing of a place. Such
// records are coarse by [Scale], unless the species feels its surroundings farther.
func (c *cleaner) tooWide(radius float64) bool {
	return c.Area.Cell > 0 && radius > mostGroundCells*c.Area.Cell
}

// water flags a land animal's record that lies in open water by more than its
// uncertainty, and by at least 50 m. One known to more than 1000 cells passes.
func (c *cleaner) water() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		known := c.known[k]
		if c.Water == nil || known == nil || known.InWater {
			return passed(""), nil
		}
		radius := max(r.uncertaintyOr(0), waterToleranceM)
		if c.tooWide(radius) {
			return passed(""), nil
		}
		wet, err := c.Water(r.Point, radius)
		if err != nil || !wet {
			return passed(""), err
		}
		return flagged(Held, fmt.Sprintf("everything within %s of it is open water, where the species is not met", distance(radius))), nil
	}
}

// elevations flags an animal met higher than it lives, by the lowest ground
// within its uncertainty. One known to more than 1000 cells passes. That an animal was not met up there is no surprise.
func (c *cleaner) elevations() look {
	return func(k int, r *Cleaned) (Outcome, error) {
		known := c.known[k]
		if c.Elevation == nil || known == nil || known.ElevationMax == nil || r.Status == Absent || c.tooWide(r.uncertaintyOr(0)) {
			return passed(""), nil
		}
		lowest, sure, err := c.Elevation(r.Point, r.uncertaintyOr(0))
		if err != nil || !sure || lowest <= *known.ElevationMax {
			return passed(""), err
		}
		return flagged(Held, fmt.Sprintf("the ground lies at %.0f m, and the species is met up to %.0f m", lowest, *known.ElevationMax)), nil
	}
}
