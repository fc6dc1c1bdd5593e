package project

import (
	"strings"
	"testing"
	"time"
)

const plainSpecies = `
area: {name: a, date: 2026-06-01, grid: {crs: EPSG:32631, cell: 25, extent: [0, 0, 100, 100]}}
layers: {elev: {source: "PG:dbname=a", kind: quantity}}
species:
  - {id: viper, source: assumption, requisites: [{id: r, criteria: [{id: c, measure: value, layer: elev, curve: [[0, 0], [1, 1]]}]}]}
`

// TestWordingArrives: words come through as they were written, and the program
// has no first-aid text of its own.
func TestWordingArrives(t *testing.T) {
	p, err := Load("testdata/valid/full.yaml")
	if err != nil {
		t.Fatal(err)
	}
	w := p.Wording
	if len(w.Cautions) != 2 || w.Cautions[1] != "Do not handle." || w.Licence != "Ask before you disturb." {
		t.Errorf("%+v", w)
	}
	if len(w.Contacts) != 2 || w.Contacts[0] != (Contact{"the office", "lost keys", "at the gate"}) {
		t.Errorf("%+v", w.Contacts)
	}
	aid := FirstAid{Text: "The words in force.", Source: "the health service", Keeper: "the safety officer",
		Date: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Review: time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC)}
	if w.FirstAid != aid || w.FirstAid.Words() != "The words in force." {
		t.Errorf("%+v", w.FirstAid)
	}
	none := readProject("none.yaml", plainSpecies).project().Wording
	if got := none.FirstAid.Words(); got != "Ask the local health service for its present text; none has been entered here." {
		t.Errorf("where nothing was entered: %q", got)
	}
}

// TestOldFirstAidIsSaid: a text past its review is kept, and said to be old.
func TestOldFirstAidIsSaid(t *testing.T) {
	r := readProject("old.yaml", plainSpecies+"wording: {first_aid: {text: Lie down., source: them, date: 2025-01-01, review: 2026-01-01}}\n")
	if err := r.err(); err != nil {
		t.Fatal(err)
	}
	warnings := r.project().Warnings
	if len(warnings) != 1 || !strings.Contains(warnings[0].Message, "2026-01-01") || warnings[0].Line != 6 {
		t.Errorf("%v", warnings)
	}
}
