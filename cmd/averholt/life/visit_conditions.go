package life

import (
	"fmt"
	"slices"
	"time"
)

// party is two volunteers, now and then a third.
func (v *surveyor) party(protocol string) []string {
	n := 2
	if protocol == roadWalk && v.rng.Float64() < 0.4 {
		n = 3
	}
	var ids []string
	for _, k := range v.rng.Perm(len(v.Volunteers))[:n] {
		ids = append(ids, v.Volunteers[k].ID)
	}
	slices.Sort(ids)
	return ids
}

// chance is what a visit in good conditions finds at a site where the species
// is: drawn from the triangle over the method's values, once for each site.
func (v *surveyor) chance(s *Site, t *Species, protocol string) float64 {
	key := s.ID + " " + t.ID
	if _, ok := v.chances[key]; !ok {
		m := t.methods[0]
		for _, other := range t.methods {
			if other.name == protocol {
				m = other
			}
		}
		v.chances[key] = threePoint(v.rng, m.low, m.mode, m.high)
	}
	return v.chances[key]
}

// livesAt tells whether a species truly lives in one of a site's cells.
func (v *surveyor) livesAt(s *Site, t *Species) bool {
	occupied := v.truthOf(t).Occupied
	for _, i := range s.cells {
		if occupied[i] {
			return true
		}
	}
	return false
}

// weather draws a visit's weather, and how far it favours finding anything:
// nobody goes out in the worst of it, and some go out when it is too hot.
func (v *surveyor) weather(how survey, month time.Month) (words string, favour float64) {
	mean, favour := monthly[month-1], 1.0
	if how.start[0] >= 19 {
		mean -= 4
	}
	degrees := int(mean + 2.5*v.rng.NormFloat64() + 0.5)
	degrees = max(degrees, int(how.least)-2)
	switch {
	case how.most > 0 && float64(degrees) > how.most+4:
		favour = 0.1
	case how.most > 0 && float64(degrees) > how.most:
		favour = 0.5
	case float64(degrees) < how.least:
		favour = 0.5
	}
	sky := oneOf(v.rng, "sun and cloud", "hazy sun", "clear", "overcast")
	if how.start[0] >= 19 {
		sky = oneOf(v.rng, "dry", "light rain", "after rain", "clear")
	}
	wind := oneOf(v.rng, "still", "light wind", "light wind", "fresh wind")
	if wind == "fresh wind" {
		favour *= 0.7
	}
	return fmt.Sprintf("%d °C, %s, %s", degrees, sky, wind), favour
}

// forget makes some visits say nothing of what was not found: they count as no
// blank.
func (v *surveyor) forget(all []Visit) {
	for left := unreported; left > 0 && len(all) > 2*unreported; {
		k := v.rng.IntN(len(all))
		if all[k].Reported {
			all[k].Reported = false
			left--
		}
	}
}
