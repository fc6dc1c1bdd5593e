package suitability

import (
	"fmt"
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

var _ madeOfRecords = layers.PointKernel{}

// recipeHash is Hash without what reaches the profile from elsewhere, the places
// of records and the models of other species, and without the range's edge,
// which [RangeMap.Hash] holds. Where it stays the same, nobody has changed what
// the profile asks for.
func (p *Profile) recipeHash() string {
	q := *p
	q.EdgeM = 0
	return textHash(q.canonical(recipeOf))
}

func recipeOf(m layers.Measure) string {
	switch m := m.(type) {
	case madeOfRecords:
		return m.Recipe()
	case NearbySpecies:
		names := m.Names()
		slices.Sort(names)
		return fmt.Sprintf("species radius=%s %q", exact(m.Radius), names)
	}
	return keyOf(m)
}

// models are the other species on which the profile's map rests, straight or by
// way of others, by id.
func (p *Profile) models() map[string]modelHash {
	models := map[string]modelHash{}
	p.addModels(models)
	return models
}

func (p *Profile) addModels(models map[string]modelHash) {
	for m := range p.allMeasures {
		near, ok := m.(NearbySpecies)
		if !ok {
			continue
		}
		for _, s := range near.Others {
			models[s.Profile.ID] = modelHash{Recipe: s.Profile.recipeHash(), Records: s.Profile.recordsHash(), Range: s.Range.Hash()}
			s.Profile.addModels(models)
		}
	}
}

// noRecords stands in items for the records of a profile that looks at none.
const noRecords = "none"

// recordsHash stands for the records that the profile's own measures are made
// of, and for what each weighs.
func (p *Profile) recordsHash() string {
	var hashes []string
	for m := range p.allMeasures {
		if r, ok := m.(madeOfRecords); ok {
			hashes = append(hashes, r.PointsHash())
		}
	}
	if len(hashes) == 0 {
		return noRecords
	}
	slices.Sort(hashes)
	return textHash(strings.Join(slices.Compact(hashes), "\n"))
}
