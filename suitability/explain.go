package suitability

import (
	"fmt"
	"math"
)

// Explanation is the model at one cell, step by step, in plain float64: the
// reference that the fast evaluator is held against, and what a person is shown
// who asks why. NaN stands for unknown.
type Explanation struct {
	Requisites  []RequisiteResult
	Multipliers []MultiplierResult
	Exclusions  []ExclusionResult
	H           float64 // the requisites combined, before multipliers and exclusions
	S           float64 // suitability; 0 where excluded, NaN where not assessed
	Excluded    bool
}

// RequisiteResult is one requisite at a cell.
type RequisiteResult struct {
	ID       string
	Weight   float64 // as stated
	Value    float64 // R; NaN where unknown or left out
	Criteria []CriterionResult
}

// CriterionResult is one criterion at a cell.
type CriterionResult struct {
	ID      string
	Weight  float64 // as stated
	Value   float64 // the measure, or its class code; NaN where unknown
	Rating  float64 // as used, floored; NaN where unknown or left out
	Missing bool    // nothing was known, whatever stood in for it
}

// MultiplierResult is one multiplier at a cell.
type MultiplierResult struct {
	ID      string
	Value   float64
	Factor  float64 // as used; NaN where unknown
	Missing bool
}

// ExclusionResult is one exclusion at a cell.
type ExclusionResult struct {
	ID       string
	Value    float64
	Excluded bool
	Missing  bool
}

// Assessed tells whether the cell has a suitability.
func (e Explanation) Assessed() bool { return !math.IsNaN(e.S) }

// Explain evaluates the profile at one cell. Values are the measures in the
// order of [Profile.Measures], class codes as numbers, NaN where unknown. The
// profile must be valid.
func (p *Profile) Explain(values []float64) (Explanation, error) {
	measures := p.Measures()
	if len(values) != len(measures) {
		return Explanation{}, fmt.Errorf("suitability: profile %s takes %d measured values, got %d", p.ID, len(measures), len(values))
	}
	return p.explain(p.inputs(), values), nil
}

// inputs are, for every criterion, multiplier and exclusion in turn, the place
// of its measure among [Profile.Measures].
func (p *Profile) inputs() []int {
	place := map[string]int{}
	for i, m := range p.Measures() {
		place[m.Key()] = i
	}
	var list []int
	for m := range p.allMeasures {
		list = append(list, place[m.Key()])
	}
	return list
}

// measuredValues hands out measured values criterion by criterion.
type measuredValues struct {
	inputs []int
	values []float64
}

func (v *measuredValues) next() float64 {
	value := v.values[v.inputs[0]]
	v.inputs = v.inputs[1:]
	return value
}

func (p *Profile) explain(inputs []int, values []float64) Explanation {
	var e Explanation
	in := &measuredValues{inputs, values}
	e.H = p.explainRequisites(&e, in)
	e.S = e.H
	for _, m := range p.Multipliers {
		r := MultiplierResult{ID: m.ID, Value: in.next()}
		r.Factor = m.Rating.Rate(r.Value)
		if r.Missing = math.IsNaN(r.Factor); r.Missing {
			r.Factor = p.Missing.factor()
		}
		e.S *= r.Factor
		e.Multipliers = append(e.Multipliers, r)
	}
	p.explainExclusions(&e, in)
	return e
}

func (p *Profile) explainRequisites(e *Explanation, in *measuredValues) float64 {
	var R, W []float64
	unknown := false
	for _, q := range p.Requisites {
		r := p.explainRequisite(q, in)
		e.Requisites = append(e.Requisites, r)
		switch {
		case !p.Rule.counts(q.Weight):
		case !math.IsNaN(r.Value):
			R, W = append(R, r.Value), append(W, q.Weight)
		case p.Missing.Kind != MissingLeaveOut:
			unknown = true
		}
	}
	if unknown {
		return math.NaN()
	}
	return p.Rule.combine(R, W)
}

func (p *Profile) explainRequisite(q Requisite, in *measuredValues) RequisiteResult {
	r := RequisiteResult{ID: q.ID, Weight: q.Weight}
	sum, total := 0.0, 0.0
	for _, c := range q.Criteria {
		s := CriterionResult{ID: c.ID, Weight: c.Weight, Value: in.next()}
		s.Rating = c.Rating.Rate(s.Value)
		if s.Missing = math.IsNaN(s.Rating); s.Missing && p.Missing.Kind == MissingStated {
			s.Rating = p.Missing.Value
		}
		s.Rating = max(s.Rating, p.Floor) // an unknown rating stays NaN
		r.Criteria = append(r.Criteria, s)
		if c.Weight == 0 || math.IsNaN(s.Rating) && p.Missing.Kind == MissingLeaveOut {
			continue
		}
		sum += c.Weight * s.Rating
		total += c.Weight
	}
	r.Value = sum / total // 0/0, nothing known, is NaN
	return r
}

func (p *Profile) explainExclusions(e *Explanation, in *measuredValues) {
	unknown := false
	for _, x := range p.Exclusions {
		r := ExclusionResult{ID: x.ID, Value: in.next()}
		r.Missing = math.IsNaN(r.Value)
		r.Excluded = x.Excludes(r.Value)
		e.Exclusions = append(e.Exclusions, r)
		e.Excluded = e.Excluded || r.Excluded
		unknown = unknown || r.Missing && p.Missing.Kind == MissingUnknown
	}
	switch {
	case e.Excluded: // one exclusion is enough, whatever else is unknown
		e.S = 0
	case unknown:
		e.S = math.NaN()
	}
}

// factor is what stands for a multiplier without input.
func (m Missing) factor() float64 {
	switch m.Kind {
	case MissingLeaveOut:
		return 1
	case MissingStated:
		return m.Value
	}
	return math.NaN()
}
