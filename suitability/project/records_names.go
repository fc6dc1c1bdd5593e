package project

import (
	"cmp"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
)

// names finds a project's species by the names that records give.
type names map[string]*records.Expectation

// newNames knows each species by its scientific name, its common name and its
// id, whatever the case. Of two species with one name the first counts.
func newNames(subjects []suitability.Subject, grid layers.Grid) names {
	n := names{}
	for _, s := range subjects {
		known := expectationOf(s, grid)
		for _, name := range []string{s.Profile.Scientific, s.Profile.ID, s.Profile.Name} {
			key := strings.ToLower(strings.TrimSpace(name))
			if _, taken := n[key]; key != "" && !taken {
				n[key] = known
			}
		}
	}
	return n
}

// expectation is what is known of the species of that name, with or without its
// author; nil for a stranger.
func (n names) expectation(name string) *records.Expectation {
	name = strings.Join(strings.Fields(name), " ")
	if known := n[strings.ToLower(name)]; known != nil {
		return known
	}
	return n[strings.ToLower(withoutAuthor(name))]
}

// withoutAuthor takes author and year off a scientific name: behind genus and
// species, epithets are written in lower case, and authors with a capital or in
// brackets (International Code of Zoological Nomenclature, articles 5, 28 and
// 51). A hybrid keeps its sign, and is not taken for one of its parents.
func withoutAuthor(name string) string {
	words := strings.Fields(name)
	for i := 2; i < len(words); i++ {
		if first := []rune(words[i])[0]; unicode.IsUpper(first) || first == '(' {
			return strings.Join(words[:i], " ")
		}
	}
	return name
}

// RecordName is the name by which all records of a species go once they are
// cleaned: its scientific name, or its id where it has none.
func RecordName(p *suitability.Profile) string { return cmp.Or(p.Scientific, p.ID) }

func (p *profile) recordName() string { return cmp.Or(p.Scientific, p.ID) }

func expectationOf(s suitability.Subject, grid layers.Grid) *records.Expectation {
	p, f := s.Profile, &s.Profile.Facts
	known := &records.Expectation{
		Name: RecordName(p), InWater: f.InWater, ElevationMax: f.ElevationMax, EffectM: f.Movement.Effect,
	}
	if f.Season.First != 0 || f.Season.Last != 0 {
		known.InSeason = f.Season.Plausible
	}
	if s.Range != nil {
		known.Range = func(at orb.Point, radius float64) (records.RangeWord, error) {
			return rangeWord(s.Range, grid, at, radius), nil
		}
	}
	return known
}

// mostRangeRadius bounds how far around a place a range is looked at, metres; a
// place known less well than this says nothing about a range's edge.
const mostRangeRadius = 10_000

// rangeWord is the best that the range says within a radius of a place.
func rangeWord(m *suitability.RangeMap, grid layers.Grid, at orb.Point, radius float64) records.RangeWord {
	best := wordOf(m.At(at))
	if best == records.RangeInside || radius <= 0 {
		return best
	}
	radius = min(radius, mostRangeRadius)
	w := records.DiscWindow(grid, at, radius)
	shares, _ := records.DiscShares(m.Block(w), grid, at, radius, int(suitability.RangeNotDocumented)+1)
	for code, share := range shares {
		if share > 0 {
			best = min(best, wordOf(suitability.Standing(code)))
		}
	}
	return best
}

func wordOf(s suitability.Standing) records.RangeWord {
	switch s {
	case suitability.Outside:
		return records.RangeOutside
	case suitability.Historic:
		return records.RangeOnce
	}
	return records.RangeInside
}
