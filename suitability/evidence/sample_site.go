package evidence

import (
	"cmp"
	"fmt"

	"tussock/layers/records"
	"tussock/suitability"
)

// Site is a place that was visited, with what the visits say of one species.
type Site struct {
	Place
	Name   string
	Visits int // with a result, found or blank
	Finds  int // visits that found it
}

// The reasons why a visit or a site judges nothing.
const (
	SilentVisit Unused = "not looking for the species, or not telling"
	OffSeason   Unused = "blank in a week in which the species is not met"
	RoughSite   Unused = "at a place known less well than the species feels its surroundings"
)

// unknownEffect is the scale of effect, in metres, of a species whose profile
// names none (an assumption, the same as for records).
const unknownEffect = 1000.0

// visitedSites puts visits together by their site, or by their cell where they
// name none, in the order in which sites come up; the place is that of the visit
// that knows it best. Visits that say nothing of the species are left aside, and
// so are blanks out of its season, which nobody should wonder at.
func (l looker) visitedSites(e Finds, p *suitability.Profile) (sites []Site, unused map[Unused]int) {
	unused = map[Unused]int{}
	index := map[string]int{}
	for _, v := range e.Visits {
		result := v.Result(e.Name, e.Groups)
		switch {
		case result == records.Silent:
			unused[SilentVisit]++
			continue
		case result == records.Blank && !inSeason(v.Date, p.Facts.Season):
			unused[OffSeason]++
			continue
		case v.UncertaintyM != nil && *v.UncertaintyM > cmp.Or(p.Facts.Movement.Effect, unknownEffect):
			unused[RoughSite]++
			continue
		}
		at, known := index[l.siteOf(v)]
		if !known {
			at = len(sites)
			index[l.siteOf(v)] = at
			sites = append(sites, Site{Place: placeOf(v.Point, v.UncertaintyM), Name: v.Site})
		}
		sites[at].add(v, result)
	}
	return sites, unused
}

func (s *Site) add(v records.Visit, result records.Result) {
	if p := placeOf(v.Point, v.UncertaintyM); p.Radius > 0 && (p.Radius < s.Radius || s.Radius == 0) {
		s.Place = p
	}
	s.Visits++
	if result == records.Found {
		s.Finds++
	}
}

func (l looker) siteOf(v records.Visit) string {
	if v.Site != "" {
		return v.Site
	}
	col, row := l.job.Grid.CellAt(v.Point)
	return fmt.Sprintf("cell %d %d", col, row)
}

// inSeason tells whether the first day of a visit is in a week in which the
// species can be met; a visit without a date may be.
func inSeason(date records.Interval, s suitability.Season) bool {
	if !date.Known() {
		return true
	}
	_, week := date.First.ISOWeek()
	return s.Plausible(week)
}
