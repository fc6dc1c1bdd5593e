package evidence

import (
	"github.com/paulmach/orb"

	"tussock/layers/records"
	"tussock/suitability"
)

// Place is where a map is held against what was found there.
type Place struct {
	At     orb.Point
	Radius float64 // metres, of the disc within which the place is known; under a cell's side for the one cell
}

// Sample is what a map says of a place.
type Sample struct {
	Habitat float64              // the mean over the disc; only where Unused is ""
	InRange suitability.Standing // of the cell under the place
	Unused  Unused
}

// Unused is why a place does not judge a map.
type Unused string

// The reasons, in the order in which they are asked.
const (
	NotFine       Unused = "not good enough for a map: see `tussock records`"
	NotPresent    Unused = "of an absence"
	SameCellYear  Unused = "one of several of its cell and year, of which one is taken"
	OutsideArea   Unused = "outside the area"
	NotInRange    Unused = "outside documented and uncertain range"
	PlaceUnknown  Unused = "where the map is not assessed"
	PlaceExcluded Unused = "where an exclusion holds: the map says never, and a record says otherwise"
)

// leastKnown is the least share of a disc that must be assessed, as for measures.
const leastKnown = 0.6

// recordPlaces are the records that may judge a map, and why the others may not:
// only those that may shape a map, that met the species, and of each cell and
// year the one that cleaning chose.
func recordPlaces(all []records.Cleaned) (places []Place, unused map[Unused]int) {
	unused = map[Unused]int{}
	for _, r := range all {
		switch {
		case r.Status == records.Absent:
			unused[NotPresent]++
		case r.Use != records.Fine:
			unused[NotFine]++
		case r.Outcome(records.Thinned).Flagged:
			unused[SameCellYear]++
		default:
			places = append(places, placeOf(r.Point, r.UncertaintyM))
		}
	}
	return places, unused
}

func placeOf(at orb.Point, uncertainty *float64) Place {
	if uncertainty == nil {
		return Place{At: at}
	}
	return Place{At: at, Radius: *uncertainty}
}
