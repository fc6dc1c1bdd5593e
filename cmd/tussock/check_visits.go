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

// visitCount is what a source of visits holds.
type visitCount struct {
	Source  string         `json:"source"`
	Visits  int            `json:"visits"`
	Aside   int            `json:"kept_aside"` // events that are no visits, and rows that are no finds
	Reasons map[string]int `json:"reasons,omitempty"`
	Finds   int            `json:"finds"`
}

// speciesVisits is what all visits say about one species.
type speciesVisits struct {
	Species string `json:"species"`
	Found   int    `json:"found"`
	Blank   int    `json:"blank"`
	Silent  int    `json:"silent"`
}

// readVisits reads every source of visits, counts them, and gives back what was
// kept aside. What they say of each species is for staff only: few visits with a
// find point at a place.
func readVisits(ctx context.Context, o *project.Opened, audience layers.Audience) (counts []visitCount, species []speciesVisits, aside []records.Reject, err error) {
	sets, err := o.Visits(ctx)
	if err != nil {
		return nil, nil, nil, &codedError{exitInput, err, "see the visits section of the project file"}
	}
	for i, set := range sets {
		c := visitCount{Source: o.Project.Visits[i].File, Visits: len(set.Visits), Reasons: map[string]int{}}
		for _, list := range [][]records.Reject{set.Rejects, set.Aside} {
			for _, r := range list {
				c.Aside++
				c.Reasons[string(r.Reason)]++
			}
			aside = append(aside, list...)
		}
		for _, v := range set.Visits {
			c.Finds += len(v.Finds)
		}
		counts = append(counts, c)
	}
	if audience == layers.Staff && len(sets) > 0 {
		species = visitsBySpecies(o, sets)
	}
	return counts, species, aside, nil
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

func printVisits(w io.Writer, counts []visitCount, species []speciesVisits) {
	for _, c := range counts {
		fmt.Fprintf(w, "  visits   %s: %d visits, %s, %d kept aside%s\n", c.Source, c.Visits, counted(c.Finds, "find"), c.Aside, reasons(c.Reasons))
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, s := range species {
		fmt.Fprintf(t, "           %s\tfound on %d\tblank on %d\tsilent on %d\n", s.Species, s.Found, s.Blank, s.Silent)
	}
	t.Flush()
}
