package suitability

import (
	"fmt"
	"math"

	"tussock/layers"
)

// DefaultFloor is the least rating of a soft criterion where a profile does not
// say otherwise. The great crested newt pond index of Oldham et al. (2000),
// Herpetological Journal 10:143-155, uses the same 0.01: one poor factor limits
// without forbidding.
const DefaultFloor = 0.01

// Profile is what a species asks of a place, as stated by people who know it:
// a hypothesis to be tested, not a fact.
type Profile struct {
	ID         string // short and unique within a project
	Name       string // the common name
	Scientific string
	Group      string // amphibian, reptile, …
	Source     string // who or what the profile is from, or "assumption"

	Rule        Rule    // how requisites combine
	Floor       float64 // least rating of a criterion, 0 to under 1; multipliers and exclusions have none
	Missing     Missing
	Sensitivity layers.Sensitivity

	EdgeM        float64 // how far outside the documented range still counts as its edge, metres
	ShowHistoric bool    // whether historic range is shown

	Requisites  []Requisite
	Multipliers []Multiplier
	Exclusions  []Exclusion

	Facts Facts // what else is known; no map depends on it
}

// Measures are the profile's distinct measures, in the order in which they are
// first named: criteria, then multipliers, then exclusions. Rows and measured
// values are handed over in this order.
func (p *Profile) Measures() []layers.Measure {
	var list []layers.Measure
	seen := map[string]bool{}
	for m := range p.allMeasures {
		if m == nil {
			continue
		}
		if key := m.Key(); !seen[key] { // a key may cost a hash of all records
			seen[key] = true
			list = append(list, m)
		}
	}
	return list
}

func (p *Profile) allMeasures(yield func(layers.Measure) bool) {
	for _, r := range p.Requisites {
		for _, c := range r.Criteria {
			if !yield(c.Measure) {
				return
			}
		}
	}
	for _, m := range p.Multipliers {
		if !yield(m.Measure) {
			return
		}
	}
	for _, e := range p.Exclusions {
		if !yield(e.Measure) {
			return
		}
	}
}

// Reach is how far, in metres, anything said about a cell depends on its
// surroundings: the greatest reach of the measures, or the range's edge.
func (p *Profile) Reach() float64 { return max(p.EdgeM, p.measureReach()) }

// measureReach is how far the suitability of a cell depends on its surroundings.
func (p *Profile) measureReach() float64 {
	reach := 0.0
	for m := range p.allMeasures {
		if m != nil {
			reach = max(reach, m.Reach())
		}
	}
	return reach
}

// Validate lists everything that is wrong with the profile, each a
// *[FieldError] with its place. Weights are relative and need no given sum: see
// [Profile.CheckWeightSums].
func (p *Profile) Validate() []error {
	var errs []error
	if p.ID == "" {
		errs = append(errs, fieldError("id", "it has no name"))
	}
	if !(p.Floor >= 0 && p.Floor < 1) {
		errs = append(errs, fieldError("floor", "%g is not from 0 to under 1", p.Floor))
	}
	if !(p.EdgeM >= 0 && p.EdgeM <= math.MaxFloat32) {
		errs = append(errs, fieldError("range.edge", "%g m is no distance", p.EdgeM))
	}
	errs = append(errs, p.Missing.check("missing")...)
	errs = append(errs, p.Rule.check(len(p.Requisites))...)
	errs = append(errs, p.checkRequisites()...)
	for i, m := range p.Multipliers {
		errs = append(errs, m.check(fmt.Sprintf("multipliers[%d]", i))...)
	}
	for i, e := range p.Exclusions {
		errs = append(errs, e.check(fmt.Sprintf("exclusions[%d]", i))...)
	}
	errs = append(errs, p.checkRecords()...)
	return append(errs, p.checkNames()...)
}

// checkRecords refuses the records of another species: where they may be shown
// is that species' own affair.
func (p *Profile) checkRecords() []error {
	var errs []error
	check := func(m layers.Measure, path string) {
		if k, ok := m.(layers.PointKernel); ok && k.Of != p.ID {
			errs = append(errs, fieldError(path+".measure", "the records are of %q, not of %q", k.Of, p.ID))
		}
	}
	for i, r := range p.Requisites {
		for j, c := range r.Criteria {
			check(c.Measure, fmt.Sprintf("requisites[%d].criteria[%d]", i, j))
		}
	}
	for i, m := range p.Multipliers {
		check(m.Measure, fmt.Sprintf("multipliers[%d]", i))
	}
	for i, e := range p.Exclusions {
		check(e.Measure, fmt.Sprintf("exclusions[%d]", i))
	}
	return errs
}

func (p *Profile) checkRequisites() []error {
	if len(p.Requisites) == 0 {
		return []error{fieldError("requisites", "the profile asks for nothing")}
	}
	var errs []error
	total := 0.0
	for i, r := range p.Requisites {
		errs = append(errs, r.check(fmt.Sprintf("requisites[%d]", i))...)
		total += r.Weight
	}
	if total == 0 && p.Rule.Kind != Ordered {
		errs = append(errs, fieldError("requisites", "every weight is 0"))
	}
	return errs
}

// checkNames keeps names unique within their list, since reports go by them.
func (p *Profile) checkNames() []error {
	var errs []error
	lists := map[string]map[string]bool{}
	use := func(list, path, id string) {
		if lists[list] == nil {
			lists[list] = map[string]bool{}
		}
		if id != "" && lists[list][id] {
			errs = append(errs, fieldError(path+".id", "%q is named twice", id))
		}
		lists[list][id] = true
	}
	for i, r := range p.Requisites {
		path := fmt.Sprintf("requisites[%d]", i)
		use("requisites", path, r.ID)
		for j, c := range r.Criteria {
			use(path, fmt.Sprintf("%s.criteria[%d]", path, j), c.ID)
		}
	}
	for i, m := range p.Multipliers {
		use("multipliers", fmt.Sprintf("multipliers[%d]", i), m.ID)
	}
	for i, e := range p.Exclusions {
		use("exclusions", fmt.Sprintf("exclusions[%d]", i), e.ID)
	}
	return errs
}
