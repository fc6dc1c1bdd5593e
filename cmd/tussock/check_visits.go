package main

import (
	"context"
	"fmt"
	"io"
	"text/tabwriter"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability/project"
)

// visitsResult is what the sources of visits hold.
type visitsResult struct {
	Sources []visitCount    `json:"sources"`
	Species []speciesVisits `json:"species,omitempty"` // for staff
}

// visitCount is what one source of visits holds.
type visitCount struct {
	Source  string         `json:"source"`
	Visits  int            `json:"visits"`
	Aside   int            `json:"kept_aside"` // events that are no visits, and rows that are no finds
	Reasons map[string]int `json:"reasons,omitempty"`
	Finds   *int           `json:"finds,omitempty"` // nil where it may not be told
}

// speciesVisits is what all visits say about one species.
type speciesVisits struct {
	Species string `json:"species"`
	Found   int    `json:"found"`
	Blank   int    `json:"blank"`
	Silent  int    `json:"silent"`
}

// readVisits reads every source of visits, counts them, and gives back what was
// kept aside; nil where the project has none. What they say of each species is
// for staff only: few visits with a find point at a place.
func readVisits(ctx context.Context, o *project.Opened, audience layers.Audience) (*visitsResult, []records.Reject, error) {
	sets, err := o.Visits(ctx)
	if err != nil {
		return nil, nil, &codedError{exitInput, err, "see the visits section of the project file"}
	}
	if len(sets) == 0 {
		return nil, nil, nil
	}
	r := &visitsResult{}
	var aside []records.Reject
	for i, set := range sets {
		r.Sources = append(r.Sources, countVisits(o.Project.Visits[i].File, set, mayTellTotals(o.Subjects, audience)))
		aside = append(append(aside, set.Rejects...), set.Aside...)
	}
	if audience == layers.Staff {
		r.Species = visitsBySpecies(o, sets)
	}
	return r, aside, nil
}

func countVisits(source string, set records.Visits, tell bool) visitCount {
	c := visitCount{Source: source, Visits: len(set.Visits), Reasons: map[string]int{}}
	for _, list := range [][]records.Reject{set.Rejects, set.Aside} {
		for _, r := range list {
			c.Aside++
			c.Reasons[string(r.Reason)]++
		}
	}
	if tell {
		finds := 0
		for _, v := range set.Visits {
			finds += len(v.Finds)
		}
		c.Finds = &finds
	}
	return c
}

// aside is how many rows are kept aside.
func (r *visitsResult) aside() (n int) {
	if r == nil {
		return 0
	}
	for _, c := range r.Sources {
		n += c.Aside
	}
	return n
}

func visitsBySpecies(o *project.Opened, sets []records.Visits) []speciesVisits {
	var list []speciesVisits
	for _, s := range o.Subjects {
		count := speciesVisits{Species: s.Profile.ID}
		for _, set := range sets {
			for _, v := range set.Visits {
				switch v.Result(project.RecordName(s.Profile), o.VisitGroups) {
				case records.Found:
					count.Found++
				case records.Blank:
					count.Blank++
				default:
					count.Silent++
				}
			}
		}
		list = append(list, count)
	}
	return list
}

func (r *visitsResult) print(w io.Writer) {
	if r == nil {
		return
	}
	for _, c := range r.Sources {
		finds := ""
		if c.Finds != nil {
			finds = " with " + counted(*c.Finds, "find")
		}
		fmt.Fprintf(w, "  visits   %s: %s%s, %d kept aside%s\n", c.Source, counted(c.Visits, "visit"), finds, c.Aside, reasons(c.Reasons))
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range r.Species {
		fmt.Fprintf(t, "           %s\tfound on %d\tnot found on %d\tunsaid on %d\n", s.Species, s.Found, s.Blank, s.Silent)
	}
	t.Flush()
}
