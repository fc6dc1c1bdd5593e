package suitability

import (
	"slices"
	"strings"

	"tussock/layers"
)

// madeOfRecords is a measure whose key holds the places of records: Recipe is
// the key without them, and PointsHash stands for them.
type madeOfRecords interface {
	Recipe() string
	PointsHash() string
}

// recipeHash is Hash without what reaches the profile from elsewhere: the places
// of records and the models of other species. Where it stays the same, nobody
// has changed what the profile asks for.
func (p *Profile) recipeHash() string { return textHash(p.canonical(recipeOf)) }

func recipeOf(m layers.Measure) string {
	if r, ok := m.(madeOfRecords); ok {
		return r.Recipe()
	}
	return keyOf(m)
}

// recordsHash stands for the records that the profile's own measures are made
// of; "none" where none are.
func (p *Profile) recordsHash() string {
	var hashes []string
	for m := range p.allMeasures {
		if r, ok := m.(madeOfRecords); ok {
			hashes = append(hashes, r.PointsHash())
		}
	}
	if len(hashes) == 0 {
		return "none"
	}
	slices.Sort(hashes)
	return textHash(strings.Join(slices.Compact(hashes), "\n"))
}
