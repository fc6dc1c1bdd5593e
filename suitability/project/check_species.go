package project

import (
	"regexp"
	"strings"
)

// speciesID is what files can be named by on every system.
var speciesID = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$`)

func (r *reading) checkSpecies() {
	seen := map[string]*profile{}
	for _, p := range r.profiles {
		if p.ID == "" {
			continue
		}
		path := join(p.path, "id")
		if !speciesID.MatchString(p.ID) {
			p.doc.problem(path, "use letters, digits, - and _", "%q cannot name files", short(p.ID))
		}
		lower := strings.ToLower(p.ID)
		if before := seen[lower]; before != nil {
			p.doc.problem(path, "ids must be unique, whatever their case", "%q is already the id of the species at %s", p.ID, before.where())
		} else {
			seen[lower] = p
		}
		r.checkProfile(p)
	}
	r.checkOthers()
}

// where is a profile's place in words.
func (p *profile) where() string {
	at := p.doc.placeOf(join(p.path, "id"))
	return Problem{File: p.doc.file, Line: at.line, Column: at.column}.place()
}

func (r *reading) checkProfile(p *profile) {
	for i := range p.Requisites {
		q := &p.Requisites[i]
		for k := range q.Criteria {
			c := &q.Criteria[k]
			r.checkTerm(c.at, &c.term, "")
			r.checkRating(c.at, &c.term, &c.rating)
			c.checkWeight("weight", c.Weight, len(q.Criteria))
		}
		if !p.isOrdered() {
			q.checkWeight("weight", q.Weight, len(p.Requisites))
		}
	}
	for i := range p.Multipliers {
		m := &p.Multipliers[i]
		r.checkTerm(m.at, &m.term, "")
		r.checkRating(m.at, &m.term, &m.rating)
	}
	for i := range p.Exclusions {
		r.checkExclusion(&p.Exclusions[i])
	}
	r.checkOwnRecords(p)
	p.warnSources()
	p.checkFacts()
	built := r.profile(p, placeholder)
	p.checkFields(built.Validate())
	p.checkFields(built.CheckWeightSums())
}

// checkOwnRecords tests that there are records where a profile looks at them.
func (r *reading) checkOwnRecords(p *profile) {
	for a, t := range p.terms {
		if t.Measure == "records" && a.doc != nil && len(r.file.Records) == 0 && !r.file.has("records") {
			a.doc.problem(join(a.path, "measure"), "add `records: [{source: …}]` to the project", "the project has no records")
		}
	}
}

// checkWeight asks for a weight wherever there is something to weigh against.
func (a at) checkWeight(key string, weight *float64, siblings int) {
	if a.doc != nil && siblings > 1 {
		a.doc.need(a.path, key, "weights of one list sum to 1", "`%s` is missing", key)
	}
}

// warnSources notes every value that says nothing of where it is from.
func (p *profile) warnSources() {
	if p.Source != "" {
		return
	}
	warn := func(a at, source string) {
		if source == "" && a.doc != nil {
			a.doc.warn(a.path, "write `source: …`, or `source: assumption`; a source of the whole profile counts for all its values", "this value has no source")
		}
	}
	for _, q := range p.Requisites {
		for _, c := range q.Criteria {
			warn(c.at, c.Source)
		}
	}
	for _, m := range p.Multipliers {
		warn(m.at, m.Source)
	}
	for _, e := range p.Exclusions {
		warn(e.at, e.Source)
	}
}
