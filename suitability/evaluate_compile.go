package suitability

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"tussock/layers"
)

// NewEvaluator compiles a profile. The error holds all that [Profile.Validate]
// finds, or names a measure that one part of the profile takes for classes and
// another for numbers.
func NewEvaluator(p *Profile) (*Evaluator, error) {
	if err := errors.Join(p.Validate()...); err != nil {
		return nil, fmt.Errorf("suitability: profile %s: %w", p.ID, err)
	}
	c := compiler{profile: p, index: map[string]int{}, codes: map[string]bool{}}
	for i, m := range p.Measures() {
		c.index[m.Key()] = i
		c.inputs = append(c.inputs, input{key: m.Key()})
	}
	e := &Evaluator{id: p.ID, rule: p.Rule, missing: p.Missing}
	e.rule.Weights = slices.Clone(p.Rule.Weights)
	e.groups = c.groups()
	if e.rule.Kind != Ordered && e.rule.Kind != Arithmetic && len(e.groups) == 1 {
		e.rule = Rule{Kind: Arithmetic} // every mean of one requisite is that requisite
	}
	if e.addsUp() {
		e.groups = []group{merged(e.groups)}
	}
	if e.rule.Kind == Geometric && e.missing.Kind != MissingLeaveOut {
		for g := range e.groups {
			e.groups[g].takeLogs()
		}
	}
	for _, m := range p.Multipliers {
		e.factors = append(e.factors, c.term(m.Measure, m.Rating, 1, 0, false))
	}
	for _, x := range p.Exclusions {
		e.excludes = append(e.excludes, c.exclude(x))
	}
	if len(c.errs) > 0 {
		return nil, errors.Join(c.errs...)
	}
	e.inputs = c.inputs
	e.scratch = newScratch(len(e.groups))
	return e, nil
}

// addsUp tells whether S is one weighted sum over all criteria.
func (e *Evaluator) addsUp() bool {
	return e.rule.Kind == Arithmetic && e.missing.Kind != MissingLeaveOut
}

// compiler gathers what the parts of one evaluator share.
type compiler struct {
	profile *Profile
	inputs  []input
	index   map[string]int
	codes   map[string]bool
	errs    []error
}

// groups scales all weights. Requisites and criteria of weight 0 are dropped,
// though rows of their measures are still handed over.
func (c *compiler) groups() []group {
	p := c.profile
	total := 0.0
	for _, q := range p.Requisites {
		total += q.Weight
	}
	var list []group
	for _, q := range p.Requisites {
		g := group{weight: q.Weight / total}
		for _, s := range q.Criteria {
			t := c.term(s.Measure, s.Rating, s.Weight/q.weightSum(), p.Floor, true)
			if s.Weight > 0 {
				g.terms = append(g.terms, t)
			}
		}
		if p.Rule.counts(q.Weight) {
			list = append(list, g)
		}
	}
	return list
}

// merged is one group whose terms carry the whole weight.
func merged(groups []group) group {
	one := group{weight: 1}
	for _, g := range groups {
		for _, t := range g.terms {
			one.terms = append(one.terms, t.scaled(g.weight))
		}
	}
	return one
}

// takeLogs turns a requisite of a single table into a table of logarithms.
func (g *group) takeLogs() {
	if len(g.terms) == 1 && g.terms[0].table != nil {
		g.logs = new([256]float64)
		addLogs(g.logs[:], g.terms[0].table[:], g.weight)
	}
}

// term compiles a rating. Under MissingLeaveOut a criterion keeps its weight
// apart, since the scale is only known cell by cell.
func (c *compiler) term(m layers.Measure, r Rating, weight, floor float64, criterion bool) term {
	t := term{weight: weight, missing: math.NaN()}
	scale := weight
	if criterion {
		switch c.profile.Missing.Kind {
		case MissingLeaveOut:
			scale = 1
		case MissingStated:
			t.missing = max(c.profile.Missing.Value, floor) * weight
		}
	}
	switch r := r.(type) {
	case Table:
		t.input, t.table = c.use(m, true), compileTable(r, floor, scale, t.missing)
	case Curve:
		t.input, t.curve = c.use(m, false), compileCurve(r, floor, scale)
	}
	return t
}

func (c *compiler) exclude(x Exclusion) exclude {
	e := exclude{input: c.use(x.Measure, x.byClass()), below: math.Inf(-1), above: math.Inf(1)}
	if x.Below != nil {
		e.below = *x.Below
	}
	if x.Above != nil {
		e.above = *x.Above
	}
	if x.byClass() {
		e.flags = new([256]uint8)
		for _, code := range x.Classes {
			e.flags[code] = flagExcluded
		}
		e.flags[layers.NoClass] = flagUnknown
	}
	return e
}

// use notes what a measure's rows must hold.
func (c *compiler) use(m layers.Measure, codes bool) int {
	i := c.index[m.Key()]
	if before, used := c.codes[m.Key()]; used && before != codes {
		c.errs = append(c.errs, fmt.Errorf("suitability: profile %s: measure %s is taken both for classes and for numbers", c.profile.ID, m.Key()))
	}
	c.codes[m.Key()], c.inputs[i].codes = codes, codes
	return i
}
