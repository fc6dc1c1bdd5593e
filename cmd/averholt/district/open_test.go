package district

import (
	"context"
	"slices"
	"testing"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/project"
)

// documented is the seed of the district that the documentation shows.
const documented = 5603

// opened writes the district and opens it as any project.
func opened(t *testing.T) *project.Opened {
	t.Helper()
	folder := t.TempDir()
	if err := Write(folder, documented); err != nil {
		t.Fatal(err)
	}
	o, err := project.Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { o.Close() })
	return o
}

// TestTheDistrictOpens: the project is read without a mistake or a warning, its
// profiles hold under the model's own tests, and its maps make sense at places
// that everybody knows.
func TestTheDistrictOpens(t *testing.T) {
	o := opened(t)
	for _, w := range o.Warnings {
		t.Errorf("warning: %v", w)
	}
	if len(o.Subjects) != 10 {
		t.Errorf("%d species", len(o.Subjects))
	}
	for _, s := range o.Subjects {
		for _, err := range append(s.Profile.Validate(), s.Profile.CheckWeightSums()...) {
			t.Errorf("%s: %v", s.Profile.ID, err)
		}
		f := s.Profile.Facts
		if f.Hazard.Level == suitability.HazardUnstated || len(f.Survey) == 0 || len(f.Season.Active) != 12 || f.Movement.Max == 0 || f.Patch.Min == 0 || len(f.LookAlikes) == 0 {
			t.Errorf("%s: %+v", s.Profile.ID, f)
		}
	}
	if got := o.Wording.FirstAid.Words(); got != project.NoFirstAid || len(o.Wording.Cautions) == 0 || len(o.Wording.Contacts) == 0 {
		t.Errorf("%+v", o.Wording)
	}
	if !slices.Equal(o.Licences, []string{"invented for this demonstration"}) {
		t.Errorf("licences %q", o.Licences)
	}
	for what, sources := range map[string][]project.Source{"visits": o.Project.Visits, "parcels": o.Parcels, "sites": o.Sites, "volunteers": o.Volunteers} {
		if len(sources) != 1 {
			t.Errorf("%d sources of %s", len(sources), what)
		}
	}
	checkPlaces(t, o)
	checkGround(t, o)
}

// checkPlaces: the gazetteer is read, and all of it lies in the district.
func checkPlaces(t *testing.T, o *project.Opened) {
	t.Helper()
	places, err := o.Places(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	people := map[string]int{}
	for _, p := range places {
		people[p.Name] = p.People
		if col, row := o.Grid.CellAt(p.At); !o.Grid.Window().Has(col, row) {
			t.Errorf("%s lies outside, at %v", p.Name, p.At)
		}
	}
	if people["Brackenford"] != 9400 || people["Thorle"] != 600 {
		t.Errorf("places %v", places)
	}
	if _, there := people["Skarn Tops"]; !there {
		t.Error("Skarn Tops is not named")
	}
}

// expected is what a naturalist would say of a place before looking at a map:
// good habitat (0.6 and more) or poor (less than 0.2). Common knowledge, no
// source; the thresholds are the project's own classes.
var expected = map[string]struct{ good, poor []string }{
	"Brackenford":       {poor: []string{"natterjack", "great_crested_newt", "sand_lizard", "adder", "smooth_snake", "slow_worm"}}, // a sealed town centre
	"Great Ling Common": {good: []string{"natterjack", "sand_lizard", "common_lizard", "adder", "smooth_snake"}},                   // heath
	"Skarn Tops":        {good: []string{"adder", "common_lizard"}, poor: []string{"great_crested_newt", "smooth_newt"}},           // dry rock, no ponds
	"Mirkwater Fen":     {good: []string{"grass_snake", "common_toad"}, poor: []string{"sand_lizard", "smooth_snake"}},             // wet ground
	"Sedgeley Carr":     {good: []string{"common_toad"}, poor: []string{"natterjack", "sand_lizard"}},                              // shade and pools
	"Dunstall Pits":     {good: []string{"natterjack"}},                                                                            // sand and pools that dry
}

// checkGround: every species can be rated in the middle of every place, and
// lives where a naturalist would look for it.
func checkGround(t *testing.T, o *project.Opened) {
	t.Helper()
	job := suitability.Job{Grid: o.Grid, Layers: o.Layers, Subjects: o.Subjects, Audience: layers.Staff}
	places, _ := o.Places(context.Background())
	for _, s := range o.Subjects {
		for _, p := range places {
			x, err := job.ExplainCell(s, p.At)
			id, want := s.Profile.ID, expected[p.Name]
			switch {
			case err != nil:
				t.Errorf("%s at %s: %v", id, p.Name, err)
			case !x.Assessed():
				t.Errorf("%s cannot be rated at %s", id, p.Name)
			case slices.Contains(want.good, id) && x.S < 0.6, slices.Contains(want.poor, id) && x.S >= 0.2:
				t.Errorf("%s at %s: %.2f", id, p.Name, x.S)
			}
		}
	}
}
