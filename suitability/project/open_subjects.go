package project

import (
	"tussock/layers"
	"tussock/suitability"
)

// subjects builds the model's profiles and ranges, if all is well so far. A
// species that others look for is built before them; the list keeps the order
// of the file.
func (o *opening) subjects(set *layers.Set) []suitability.Subject {
	ranges := o.readRanges()
	if o.count() > 0 {
		return nil
	}
	b := subjectBuilder{opening: o, set: set, ranges: ranges, built: map[*profile]suitability.Subject{}}
	var subjects []suitability.Subject
	for _, p := range o.profiles {
		subjects = append(subjects, b.build(p))
	}
	return subjects
}

// subjectBuilder builds each species once.
type subjectBuilder struct {
	*opening
	set    *layers.Set
	ranges map[*profile][]suitability.RangePolygon
	built  map[*profile]suitability.Subject
}

// build builds a species, and first those that it looks for: they do not lead
// back, or nothing would be built.
func (b *subjectBuilder) build(p *profile) suitability.Subject {
	if s, known := b.built[p]; known {
		return s
	}
	built := b.profile(p, supply{
		code:    b.code,
		subject: func(id string) suitability.Subject { return b.build(b.speciesWithID(id)) },
		points:  b.points,
	})
	p.checkFields(built.Validate())
	b.checkMeasures(p, built, b.set)
	m, err := suitability.NewRangeMap(b.ranges[p], b.grid, p.Range.Edge)
	if err != nil {
		wrong(p.doc, join(p.path, "range"), err)
	}
	b.built[p] = suitability.Subject{Profile: built, Range: m}
	return b.built[p]
}

// points are the records of a profile's species that may shape its map.
func (b *subjectBuilder) points(p *profile, radius float64) []layers.WeightedPoint {
	cleaned := b.cleaning()
	if cleaned == nil {
		return nil
	}
	return cleaned.Points(p.recordName(), b.file.Area.Date.Time, radius)
}

// code is the code of a class by its name or number.
func (o *opening) code(layer string, class word, place int) (uint8, bool) {
	l := o.layers[layer]
	if l == nil {
		return 0, false
	}
	return l.ClassIndex(string(class))
}

// checkMeasures takes each measure's own word on whether it can be taken.
func (o *opening) checkMeasures(p *profile, built *suitability.Profile, set *layers.Set) {
	check := func(a at, m layers.Measure) {
		if err := m.Check(set); err != nil && !a.doc.spoken(a.path) {
			wrong(a.doc, join(a.path, "measure"), err)
		}
	}
	for i, q := range p.Requisites {
		for k, c := range q.Criteria {
			check(c.at, built.Requisites[i].Criteria[k].Measure)
		}
	}
	for i, m := range p.Multipliers {
		check(m.at, built.Multipliers[i].Measure)
	}
	for i, e := range p.Exclusions {
		check(e.at, built.Exclusions[i].Measure)
	}
}
