package evidence

import (
	"errors"
	"strconv"

	"tussock/layers"
	"tussock/suitability"
)

// slot is a measure that has been taken: only its place among the profile's
// measures is left of it, so that profiles of draws are quickly compiled.
type slot int

func (s slot) Key() string               { return strconv.Itoa(int(s)) }
func (s slot) Reach() float64            { return 0 }
func (s slot) LayerNames() []string      { return nil }
func (s slot) Unit() string              { return "" }
func (s slot) Check(layers.Reader) error { return nil }

var errTaken = errors.New("evidence: the measure has been taken")

func (s slot) Eval(layers.Reader, layers.Window) (layers.Block, error) {
	return layers.Block{}, errTaken
}

// slotted is the profile with its measures as slots, without the exclusions:
// draws are made where none holds. It asks for rows in the order of its own
// measures, which are the first of the profile's.
func slotted(p *suitability.Profile) *suitability.Profile {
	place := map[string]slot{}
	for i, m := range p.Measures() {
		place[m.Key()] = slot(i)
	}
	q := *p
	q.Requisites, q.Multipliers, q.Exclusions = nil, nil, nil
	for _, r := range p.Requisites {
		r.Criteria = append([]suitability.Criterion(nil), r.Criteria...)
		for i := range r.Criteria {
			r.Criteria[i].Measure = place[r.Criteria[i].Measure.Key()]
		}
		q.Requisites = append(q.Requisites, r)
	}
	for _, m := range p.Multipliers {
		m.Measure = place[m.Measure.Key()]
		q.Multipliers = append(q.Multipliers, m)
	}
	return &q
}

// with is the profile under a draw, of which one source counts or all do.
func (a *drawnAssumptions) with(p *suitability.Profile, s doubtSource) *suitability.Profile {
	q := withRatings(p, func(i int, r suitability.Rating) suitability.Rating {
		if s.curves() {
			return a.ratings[i]
		}
		return r
	})
	if s.weights() {
		a.weigh(q)
	}
	if s.rule() {
		setRule(q, a.rule)
	}
	return q
}

// withRatings is a copy of the profile that may be changed, with other ratings.
func withRatings(p *suitability.Profile, rate func(i int, r suitability.Rating) suitability.Rating) *suitability.Profile {
	q, n := *p, 0
	q.Requisites = append([]suitability.Requisite(nil), p.Requisites...)
	for g := range q.Requisites {
		r := &q.Requisites[g]
		r.Criteria = append([]suitability.Criterion(nil), r.Criteria...)
		for i := range r.Criteria {
			r.Criteria[i].Rating = rate(n, r.Criteria[i].Rating)
			n++
		}
	}
	q.Multipliers = append([]suitability.Multiplier(nil), p.Multipliers...)
	for i := range q.Multipliers {
		q.Multipliers[i].Rating = rate(n, q.Multipliers[i].Rating)
		n++
	}
	return &q
}

func (a *drawnAssumptions) weigh(q *suitability.Profile) {
	for g := range q.Requisites {
		q.Requisites[g].Weight = a.requisites[g]
		for i := range q.Requisites[g].Criteria {
			q.Requisites[g].Criteria[i].Weight = a.criteria[g][i]
		}
	}
	if q.Rule.Kind == suitability.Ordered {
		q.Rule.Weights = a.ordered
	}
}

// setRule gives a profile another rule; its own kind stays as it is stated, with
// its numbers. Ordered weights leave the requisites' own aside: where those are
// all 0, any other rule takes them as equal.
func setRule(q *suitability.Profile, k suitability.RuleKind) {
	if k == q.Rule.Kind {
		return
	}
	q.Rule = suitability.Rule{Kind: k}
	for _, r := range q.Requisites {
		if r.Weight > 0 {
			return
		}
	}
	for g := range q.Requisites {
		q.Requisites[g].Weight = 1
	}
}
