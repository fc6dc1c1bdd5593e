package main

import (
	"slices"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
	"tussock/suitability/project"
)

// recordsResult is what became of the records, in numbers.
type recordsResult struct {
	Project  string        `json:"project"`
	Audience string        `json:"audience"`
	Total    usesResult    `json:"total"`
	Sources  []usesResult  `json:"sources"`
	Species  []usesResult  `json:"species"`
	Tests    []testsResult `json:"tests"`
	Hidden   int           `json:"species_withheld,omitempty"`
}

// usesResult counts rows by what they may be used for.
type usesResult struct {
	Name     string `json:"name"`
	Title    string `json:"title,omitempty"`
	Rows     int    `json:"rows"`
	Fine     int    `json:"fine"`
	Coarse   int    `json:"coarse"`
	History  int    `json:"history"`
	Held     int    `json:"held"`
	Rejected int    `json:"no_record"`
}

// testsResult counts what a test flagged, or the rows that a reason rejected.
type testsResult struct {
	Test    string `json:"test,omitempty"`
	Reason  string `json:"reason,omitempty"`
	Words   string `json:"words,omitempty"`
	Flagged int    `json:"flagged"`
	Held    int    `json:"held"`
}

func (u *usesResult) add(use records.Use) {
	u.Rows++
	switch use {
	case records.Fine:
		u.Fine++
	case records.Coarse:
		u.Coarse++
	case records.History:
		u.History++
	default:
		u.Held++
	}
}

func (u *usesResult) reject() {
	u.Rows++
	u.Rejected++
}

// newRecordsResult counts a cleaning of some species as an audience may be told.
func newRecordsResult(p *project.Opened, subjects []suitability.Subject, c *records.Cleaning, audience layers.Audience) recordsResult {
	r := recordsResult{Project: p.Name, Audience: audience.String(), Total: usesResult{Name: "all"}, Sources: []usesResult{}, Species: []usesResult{}, Tests: []testsResult{}}
	c, r.Hidden = toldOf(subjects, c, audience)
	sources, species := newTally(), newTally()
	for _, record := range c.Records {
		r.Total.add(record.Use)
		sources.of(record.Source.File).add(record.Use)
		species.of(record.Name).add(record.Use)
	}
	for _, reject := range c.Rejects {
		r.Total.reject()
		sources.of(reject.Source.File).reject()
	}
	r.Sources, r.Species = sources.list(), inOrder(p, species)
	for _, count := range c.Counts {
		r.Tests = append(r.Tests, newTestsResult(count))
	}
	return r
}

func newTestsResult(c records.RuleCount) testsResult {
	if c.Rejected {
		return testsResult{Reason: c.Rule, Flagged: c.Flagged}
	}
	return testsResult{Test: c.Rule, Words: records.Test(c.Rule).Words(), Flagged: c.Flagged, Held: c.Held}
}

// toldOf is the part of a cleaning that an audience may be told of, and how many
// species are left out. Below staff it has no strangers either: nobody has said
// how sensitive they are. Rows that are no records are of no species, and stay.
func toldOf(subjects []suitability.Subject, c *records.Cleaning, audience layers.Audience) (part *records.Cleaning, withheld int) {
	if audience == layers.Staff {
		return c, 0
	}
	told, withheld := tellable(subjects, audience)
	part = c.Of(recordNames(told)...)
	part.Rejects = c.Rejects
	reasons := slices.DeleteFunc(slices.Clone(c.Counts), func(n records.RuleCount) bool { return !n.Rejected })
	part.Counts = append(reasons, part.Counts...)
	return part, withheld
}

// inOrder are the counts of species in the order of the project, strangers after
// them.
func inOrder(p *project.Opened, all *tally) []usesResult {
	list := []usesResult{}
	for _, s := range p.Subjects {
		if u, left := all.take(project.RecordName(s.Profile)); left {
			u.Title = s.Profile.Title()
			list = append(list, u)
		}
	}
	for _, name := range all.order {
		if u, left := all.take(name); left {
			list = append(list, u)
		}
	}
	return list
}

// recordNames are the names that the species' records go by.
func recordNames(subjects []suitability.Subject) []string {
	var names []string
	for _, s := range subjects {
		names = append(names, project.RecordName(s.Profile))
	}
	return names
}

// tally counts uses by name, in the order in which names come up.
type tally struct {
	order  []string
	byName map[string]*usesResult
}

func newTally() *tally { return &tally{byName: map[string]*usesResult{}} }

func (t *tally) of(name string) *usesResult {
	u := t.byName[name]
	if u == nil {
		u = &usesResult{Name: name}
		t.byName[name] = u
		t.order = append(t.order, name)
	}
	return u
}

// take hands a name's counts out, once.
func (t *tally) take(name string) (usesResult, bool) {
	u := t.byName[name]
	if u == nil {
		return usesResult{}, false
	}
	delete(t.byName, name)
	return *u, true
}

func (t *tally) list() []usesResult {
	list := []usesResult{}
	for _, name := range t.order {
		list = append(list, *t.byName[name])
	}
	return list
}
