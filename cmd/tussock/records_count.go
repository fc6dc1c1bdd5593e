package main

import (
	"tussock/layers"
	"tussock/layers/records"
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
	Withheld int           `json:"records_withheld,omitempty"` // from the file of --out
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
	TooFew   bool   `json:"too_few,omitempty"` // to be told; all counts are 0
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

func newRecordsResult(p *project.Opened, c *records.Cleaning, audience layers.Audience) recordsResult {
	r := recordsResult{Project: p.Name, Audience: audience.String(), Total: usesResult{Name: "all"}, Sources: []usesResult{}, Species: []usesResult{}, Tests: []testsResult{}}
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
	r.Sources = sources.list()
	r.Species, r.Hidden = shownSpecies(p, species, audience)
	for _, count := range c.Counts {
		t := testsResult{Test: count.Rule, Words: records.Test(count.Rule).Words(), Flagged: count.Flagged, Held: count.Held}
		if count.Rejected {
			t = testsResult{Reason: count.Rule, Flagged: count.Flagged}
		}
		r.Tests = append(r.Tests, t)
	}
	return r
}

// fewRows is the least number of rows of a species that is told below staff
// (common practice, no source: counts under 3 are held back).
const fewRows = 3

// shownSpecies are the species in the order of the project, strangers after
// them. Below staff neither strangers nor species of extreme sensitivity are
// named, and few rows are not counted.
func shownSpecies(p *project.Opened, all *tally, audience layers.Audience) (shown []usesResult, hidden int) {
	profiles := profilesByRecords(p)
	names := []string{}
	for _, s := range p.Subjects {
		names = append(names, project.RecordName(s.Profile))
	}
	for _, name := range append(names, all.order...) {
		u, left := all.take(name)
		if !left {
			continue
		}
		profile, known := profiles[name]
		if audience != layers.Staff && (!known || profile.Sensitivity == layers.ExtremeSensitivity) {
			hidden++
			continue
		}
		if known {
			u.Title = profile.Title()
		}
		if audience != layers.Staff && u.Rows < fewRows {
			u = usesResult{Name: u.Name, Title: u.Title, TooFew: true}
		}
		shown = append(shown, u)
	}
	return shown, hidden
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
