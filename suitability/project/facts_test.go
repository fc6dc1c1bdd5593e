package project

import (
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"tussock/suitability"
)

// TestFactsArrive: what is written of a species is what the model holds, value
// by value.
func TestFactsArrive(t *testing.T) {
	path := filepath.Join("testdata", "valid", "full.yaml")
	r, err := read(path)
	if err != nil || r.err() != nil {
		t.Fatal(err, r.err())
	}
	p := r.profileOf("Vipera berus")
	if p == nil {
		t.Fatal("no adder")
	}
	got := r.profile(p, placeholder).Facts
	top := 3000.0
	want := suitability.Facts{
		Legal: "protected in some countries; check local law", Why: "winter banks", ElevationMax: &top,
		Hazard: suitability.Hazard{Level: suitability.HazardVenomous, Text: "Keep away and never handle.", Source: "assumption"},
		Movement: suitability.Movement{HomeRange: suitability.Spread{Low: 7600, Mode: 30000, High: 52000},
			Typical: 300, Far: 1000, Max: 2000, Effect: 600, Source: "assumption"},
		Season: suitability.Season{Active: []float64{0, 0.3, 1, 1, 0.8, 0.5, 0.4, 0.5, 0.6, 0.3, 0, 0},
			Best: []time.Month{time.March, time.April, time.September}, First: 6, Last: 45},
		Survey: []suitability.SurveyMethod{{Method: "slow walk", P: suitability.Spread{Low: 0.2, Mode: 0.45, High: 0.63},
			When: "still and sunny", Spacing: 7, Pairs: suitability.PairsRequired, Licensed: true, Source: "assumption"}},
		Patch:      suitability.Patch{Min: 150000, Gap: 500, Barrier: 5000, Source: "assumption"},
		LookAlikes: []suitability.LookAlike{{With: "grass snake", Mark: "pale collar", Source: "assumption"}},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

// TestNothingSaidIsNoFact: a profile without facts has the zero ones.
func TestNothingSaidIsNoFact(t *testing.T) {
	r := readProject("nothing.yaml", `
species: [{id: a, requisites: [{id: r, criteria: []}]}]
`)
	for _, p := range r.profiles {
		if got := r.profile(p, placeholder).Facts; !reflect.DeepEqual(got, suitability.Facts{}) {
			t.Errorf("%+v", got)
		}
	}
	if len(r.profiles) != 1 {
		t.Error("no profile was read")
	}
}
