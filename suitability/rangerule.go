package suitability

import "math"

// PublicFactor multiplies suitability on every map and in every answer outside
// planning: 1 in documented, uncertain and introduced range and where no range
// has been documented, 0 where the species is a vagrant. NaN, nothing shown, at
// the edge of the range, outside it, and in historic range unless that was
// asked for: a place outside every range is never shown suitable.
//
// It takes the standing in the range. Given the standing that a cell is
// published with, it differs only in historic range, where an excluded cell
// then gets a 0 even if nobody asked for that range.
func PublicFactor(inRange Standing, historic bool) float64 {
	switch inRange {
	case Documented, Uncertain, Introduced, RangeNotDocumented:
		return 1
	case Historic:
		if historic {
			return 1
		}
	case Vagrant, Excluded:
		return 0
	}
	return math.NaN()
}

// PlanningFactor multiplies suitability when surveys are planned, where looking
// just outside a drawn line is worth something: as PublicFactor inside the
// range, exp(−d/b)·(1 − (d/b)²) at its edge, d metres from the nearest
// documented or uncertain polygon with edge distance b, and 0 where the species
// is not looked for at all. The second factor brings the decay to exactly 0 at
// b, so that the map has no cliff there (own choice; the decay itself stands in
// for an offset as in Merow et al. 2017, Global Ecology and Biogeography
// 26:243-258).
func PlanningFactor(inRange Standing, historic bool, d, b float64) float64 {
	switch inRange {
	case Edge:
		return edgeFactor(d, b)
	case Outside:
		return 0
	case Historic:
		if !historic {
			return 0
		}
	}
	return PublicFactor(inRange, historic)
}

func edgeFactor(d, b float64) float64 {
	if !(d < b) {
		return 0
	}
	u := d / b
	return math.Exp(-u) * (1 - u*u)
}
