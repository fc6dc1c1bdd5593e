package project

import (
	"math"

	"tussock/layers"
	"tussock/suitability"
)

// coder gives the code of a class of a layer; place is its position in the list
// that names it.
type coder func(layer string, class word, place int) (code uint8, ok bool)

// supply is what a profile is built with, besides what is written.
type supply struct {
	code    coder
	subject func(id string) suitability.Subject                     // another species
	points  func(p *profile, radius float64) []layers.WeightedPoint // a species' records
}

// placeholder stands in where no layer is open: classes get their place as
// code, other species are a name, and there are no records, so that everything
// else can be checked.
var placeholder = supply{
	code: func(layer string, class word, place int) (uint8, bool) {
		return uint8(place), place < layers.MaxClasses
	},
	subject: func(id string) suitability.Subject { return suitability.Subject{Profile: &suitability.Profile{ID: id}} },
	points:  func(*profile, float64) []layers.WeightedPoint { return nil },
}

// profile builds the model's profile.
func (r *reading) profile(p *profile, from supply) *suitability.Profile {
	built := &suitability.Profile{
		ID: p.ID, Name: p.Name, Scientific: p.Scientific, Group: p.Group, Source: p.Source,
		Rule: p.Rule.Rule, Floor: suitability.DefaultFloor, Missing: p.Missing.Missing, Sensitivity: sensitivityOf(p.Sensitivity),
		EdgeM: p.Range.Edge, ShowHistoric: p.Range.Historic, Facts: p.modelFacts(),
	}
	if p.Floor != nil {
		built.Floor = *p.Floor
	}
	for _, q := range p.Requisites {
		requisite := suitability.Requisite{ID: q.ID, Weight: weightOf(q.Weight)}
		for i := range q.Criteria {
			c := &q.Criteria[i]
			requisite.Criteria = append(requisite.Criteria, suitability.Criterion{
				ID: c.ID, Weight: weightOf(c.Weight), Measure: r.measure(p, &c.term, from), Rating: c.rate(&c.term, from.code), Source: orProfile(c.Source, p),
			})
		}
		built.Requisites = append(built.Requisites, requisite)
	}
	for i := range p.Multipliers {
		m := &p.Multipliers[i]
		built.Multipliers = append(built.Multipliers, suitability.Multiplier{
			ID: m.ID, Measure: r.measure(p, &m.term, from), Rating: m.rate(&m.term, from.code), Source: orProfile(m.Source, p),
		})
	}
	for i := range p.Exclusions {
		built.Exclusions = append(built.Exclusions, r.exclusion(p, &p.Exclusions[i], from))
	}
	return built
}

// isOrdered tells whether requisites have no weights of their own.
func (p *profile) isOrdered() bool { return p.Rule.Kind == suitability.Ordered }

// weightOf lets a weight be left out where there is nothing to weigh against.
func weightOf(w *float64) float64 {
	if w == nil {
		return 1
	}
	return *w
}

func orProfile(source string, p *profile) string {
	if source == "" {
		return p.Source
	}
	return source
}

// measure builds a term's measure, or gives nil where it has no usable name.
func (r *reading) measure(p *profile, t *term, from supply) layers.Measure {
	spec := measureNamed(t.Measure)
	if spec == nil {
		return nil
	}
	m := making{supply: from, profile: p}
	if l := r.file.Layers.find(t.Layer); l != nil {
		m.unit = l.Unit
	}
	return spec.make(t, m)
}

// isRated tells whether the measure is a rating already.
func (t *term) isRated() bool {
	spec := measureNamed(t.Measure)
	return spec != nil && spec.rated
}

// rate builds a rating; a class without a code is left out of the table.
func (rate *rating) rate(t *term, code coder) suitability.Rating {
	switch {
	case t.Strength > 0:
		return suitability.PressureCurve(t.Strength)
	case rate.Curve != nil:
		return curveOf(rate.Curve)
	case rate.Table == nil && t.isRated():
		return suitability.Curve{{X: 0, Y: 0}, {X: 1, Y: 1}}
	case rate.Table == nil:
		return nil
	}
	var table suitability.Table
	for i, row := range rate.Table {
		c, ok := code(t.Layer, word(row.Name), i)
		for ok && len(table) <= int(c) {
			table = append(table, math.NaN())
		}
		if ok {
			table[c] = row.Value
		}
	}
	return table
}

func (r *reading) exclusion(p *profile, e *exclusion, from supply) suitability.Exclusion {
	built := suitability.Exclusion{ID: e.ID, Measure: r.measure(p, &e.term, from), Below: e.Below, Above: e.Above, Source: orProfile(e.Source, p)}
	if !e.byClass {
		return built
	}
	for i, class := range e.Classes.names {
		if c, ok := from.code(e.Layer, class, i); ok {
			built.Classes = append(built.Classes, c)
		}
	}
	return built
}
