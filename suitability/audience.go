package suitability

import (
	"fmt"

	"tussock/layers"
)

// For is the profile that an audience's maps and answers are made by. Below
// staff, the records of a sensitive species, whatever its category, must not
// shape its map, for the map would show the place: its profile loses every
// criterion, multiplier and exclusion that is made of records, the weights of
// what is left are scaled up to the same sum, and a requisite that is left with
// nothing is dropped. The same holds for the species that a measure looks for
// near by. The profile itself stays as it is; where nothing is left, the copy
// asks for nothing and is not valid.
func (p *Profile) For(a layers.Audience) *Profile {
	if a == layers.Staff {
		return p
	}
	see := sight{audience: a, records: p.Sensitivity == layers.NotSensitive}
	q := *p
	q.Requisites, q.Multipliers, q.Exclusions = see.requisites(p), nil, nil
	if len(q.Requisites) != len(p.Requisites) {
		q.Rule = p.Rule.fitted(len(q.Requisites))
	}
	for _, m := range p.Multipliers {
		if m.Measure = see.measure(m.Measure); m.Measure != nil {
			q.Multipliers = append(q.Multipliers, m)
		}
	}
	for _, e := range p.Exclusions {
		if e.Measure = see.measure(e.Measure); e.Measure != nil {
			q.Exclusions = append(q.Exclusions, e)
		}
	}
	return &q
}

// sight is what of a profile an audience's maps may be made by.
type sight struct {
	audience layers.Audience
	records  bool // the species' own records as well
}

// measure is the measure as the audience may have it; nil where it may not.
func (s sight) measure(m layers.Measure) layers.Measure {
	if _, records := m.(madeOfRecords); records && !s.records {
		return nil
	}
	near, ok := m.(NearbySpecies)
	if !ok {
		return m
	}
	others := make([]Subject, len(near.Others))
	for i, o := range near.Others {
		others[i] = o.For(s.audience)
	}
	near.Others = others
	return near
}

// For is the subject with the profile that the audience's maps are made by.
func (s Subject) For(a layers.Audience) Subject {
	s.Profile = s.Profile.For(a)
	return s
}

// requisites are those that are left, with their weights scaled up.
func (s sight) requisites(p *Profile) []Requisite {
	var list []Requisite
	all, left := 0.0, 0.0
	for _, r := range p.Requisites {
		all += r.Weight
		if r = s.requisite(r); len(r.Criteria) > 0 {
			left += r.Weight
			list = append(list, r)
		}
	}
	if len(list) == len(p.Requisites) || p.Rule.Kind == Ordered {
		return list
	}
	if left == 0 {
		return nil
	}
	for i := range list {
		list[i].Weight *= all / left
	}
	return list
}

// requisite is a requisite without the criteria that the audience may not have;
// it is left with none where none of weight is left.
func (s sight) requisite(r Requisite) Requisite {
	criteria := r.Criteria
	all, left := r.weightSum(), 0.0
	r.Criteria = nil
	for _, c := range criteria {
		if c.Measure = s.measure(c.Measure); c.Measure != nil {
			left += c.Weight
			r.Criteria = append(r.Criteria, c)
		}
	}
	switch {
	case len(r.Criteria) == len(criteria):
	case left == 0:
		r.Criteria = nil
	default:
		for i := range r.Criteria {
			r.Criteria[i].Weight *= all / left
		}
	}
	return r
}

// MostSensitive is the most sensitive category among the species and those that
// its profile looks for near by: a map that is made by another's map shows
// something of that one too.
func (p *Profile) MostSensitive() layers.Sensitivity {
	most := p.Sensitivity
	for m := range p.allMeasures {
		if near, ok := m.(NearbySpecies); ok {
			for _, s := range near.Others {
				most = max(most, s.Profile.MostSensitive())
			}
		}
	}
	return most
}

// mapCell is the finest cell, in metres, of a species' map for the job's
// audience, and whether it may be shown at all.
func (j *Job) mapCell(p *Profile) (metres float64, shown bool) {
	return j.Audience.MapCell(p.MostSensitive())
}

// forAudience is the job with every profile as the audience's maps are made by.
func (j *Job) forAudience() *Job {
	c := *j
	c.Subjects = make([]Subject, len(j.Subjects))
	for i, s := range j.Subjects {
		c.Subjects[i] = s.For(j.Audience)
	}
	return &c
}

// checkLeft refuses a profile of which nothing is left for an audience.
func (p *Profile) checkLeft(a layers.Audience) error {
	if q := p.For(a); len(q.Requisites) == 0 && len(p.Requisites) > 0 {
		return fmt.Errorf("suitability: species %s: its records may not shape its map for the %s audience (sensitivity %s), and its profile asks for nothing else"+
			"; hint: add a criterion that is no record, or make the map for staff", p.ID, a, p.Sensitivity)
	}
	for m := range p.allMeasures {
		if near, ok := m.(NearbySpecies); ok {
			for _, s := range near.Others {
				if err := s.Profile.checkLeft(a); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
