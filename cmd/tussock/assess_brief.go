package main

import (
	"fmt"
	"io"

	"tussock/layers"
	"tussock/suitability/evidence"
)

// briefLine is what others than staff are told of a species: a claim, an index in
// tenths, and a number of records unless it is so small that it points at places.
type briefLine struct {
	Species string `json:"species"`
	title   string
	Skill   string   `json:"skill,omitempty"`
	Index   *float64 `json:"index,omitempty"`
	Records *int     `json:"records,omitempty"`
	Staff   bool     `json:"staff_only,omitempty"`
}

// brief has a line for every species, the sensitive ones last,
// but for those that only staff know of.
func (s *assessed) brief() []briefLine {
	lines := []briefLine{}
	for _, one := range s.list {
		p := &one.Background
		l := briefLine{Species: one.Subject.Profile.ID, title: one.Subject.Profile.Title(), Skill: string(p.Claim.Skill)}
		if n := p.InRange.Records; n >= fewRecords {
			l.Records = &n
		}
		if p.Judged() {
			index := tenths(p.InRange.Index.Index)
			l.Index = &index
		}
		lines = append(lines, l)
	}
	for _, subject := range s.withheld {
		if subject.Profile.Sensitivity == layers.ExtremeSensitivity {
			continue
		}
		lines = append(lines, briefLine{Species: subject.Profile.ID, title: subject.Profile.Title(), Staff: true})
	}
	return lines
}

// unnamed is how many species are not even named.
func (s *assessed) unnamed() (n int) {
	for _, subject := range s.withheld {
		if subject.Profile.Sensitivity == layers.ExtremeSensitivity {
			n++
		}
	}
	return n
}

func (s *assessed) briefJSON() any {
	return map[string]any{"species_withheld": s.unnamed(), "project": s.project, "audience": s.audience.String(), "seed": s.seed, "claim_rule": evidence.ClaimRule, "species": s.brief()}
}

func (s *assessed) printBrief(w io.Writer) {
	fmt.Fprintf(w, "%s, seed %d\n\n", s.project, s.seed)
	for _, l := range s.brief() {
		words := l.Skill
		if l.Index != nil {
			words += fmt.Sprintf(": index %.1f", *l.Index)
		}
		switch {
		case l.Staff:
			words = "staff only"
		case l.Records != nil:
			words += fmt.Sprintf(", %s", counted(*l.Records, "record"))
		default:
			words += fmt.Sprintf(", fewer than %d records", fewRecords)
		}
		fmt.Fprintf(w, "  %s: %s\n", l.title, words)
	}
	if n := s.unnamed(); n > 0 {
		fmt.Fprintf(w, "  %d more species, which only staff are told of\n", n)
	}
	fmt.Fprintln(w)
	printFolded(w, "", "The index is that of Boyce, −1 to 1. "+capital(evidence.ClaimRule)+".")
	fmt.Fprint(w, whatItCannotSay)
}
