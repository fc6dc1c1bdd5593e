package life

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// features reads one of the files as the program would.
func features(t *testing.T, name string) []layers.Feature {
	t.Helper()
	v, err := layers.OpenVector(filepath.Join(folder(), name), "")
	if err != nil {
		t.Fatal(err)
	}
	defer v.Close()
	var all []layers.Feature
	for f, err := range v.Features(context.Background(), layers.FeatureQuery{}) {
		if err != nil {
			t.Fatal(err)
		}
		if reason, at, ok := layers.ValidateGeometry(f.Geometry); !ok {
			t.Errorf("%s: %v: %s at %v", name, f.Attributes, reason, at)
		}
		all = append(all, f)
	}
	return all
}

// Every part of every plan is drawn, validly, with all that a range map says of
// itself; a species that is reintroduced says when.
func TestRangesAreDrawn(t *testing.T) {
	parts, found := 0, map[string]int{}
	for _, plan := range averholt().plan {
		parts += len(plan)
	}
	for _, f := range features(t, "ranges.geojson") {
		found[f.Attributes["status"]]++
		for _, key := range []string{"species", "status", "year", "scale", "author", "note"} {
			if f.Attributes[key] == "" {
				t.Errorf("a range has no %s: %v", key, f.Attributes)
			}
		}
	}
	if n := found["extant"] + found["uncertain"] + found["historic"] + found["reintroduced"]; n != parts || found["reintroduced"] != 1 || found["historic"] != 3 || found["uncertain"] != 7 {
		t.Errorf("%d parts are planned, drawn are %v", parts, found)
	}
}

// Where a range is, is not where it was drawn: some of the truth lies outside,
// and within there are gaps.
func TestTruthIsNotTheDrawnRange(t *testing.T) {
	l := averholt()
	for _, id := range []string{"adder", "great_crested_newt", "sand_lizard"} {
		s := speciesNamed(id)
		outside := 0
		for i, o := range l.truthOf(s).Occupied {
			if away := 0.0; o {
				if away = l.documented(s, l.ground.at(i)); away > 0 {
					outside++
				}
				if away > 2500 {
					t.Fatalf("%s lives %.0f m outside its range", id, away)
				}
			}
		}
		if outside == 0 {
			t.Errorf("%s keeps to the lines on the map", id)
		}
	}
}

func TestSitesAndParcels(t *testing.T) {
	sites, parcels := features(t, "sites.geojson"), features(t, "parcels.geojson")
	if len(sites) < 80 || len(sites) > 100 || len(parcels) < 36 || len(parcels) > 44 {
		t.Errorf("%d sites, %d parcels", len(sites), len(parcels))
	}
	seen := map[string]bool{}
	for _, f := range append(sites, parcels...) {
		id := f.Attributes["id"]
		digits := id[2 : len(id)-2]
		if checkDigit(digits) != int(id[len(id)-1]-'0') || seen[id] {
			t.Errorf("id %s", id)
		}
		seen[id] = true
	}
	permissions := map[string]int{}
	for _, f := range sites {
		a := f.Attributes
		permissions[a["permission"]]++
		// The vector library takes the text for a date and writes it its own way.
		until, err := time.Parse(time.DateOnly, strings.ReplaceAll(a["until"], "/", "-"))
		if dated := a["permission"] == "yes" && a["access"] != accessOpen; dated != (err == nil) || dated && until.Before(Reference) {
			t.Errorf("%s: %s, %s until %q", a["id"], a["access"], a["permission"], a["until"])
		}
	}
	for _, state := range []string{"yes", "asked", "unknown", "no"} {
		if permissions[state] == 0 {
			t.Errorf("no site has permission %s: %v", state, permissions)
		}
	}
	for _, f := range parcels {
		for _, key := range []string{"name", "owner", "reason", "date"} {
			if f.Attributes[key] == "" {
				t.Errorf("%s has no %s", f.Attributes["id"], key)
			}
		}
	}
}

// The past visits: so many, in time, at as many sites as were meant, with blanks,
// and with a few that say nothing of what was not found.
func TestVisitsAreAsPlanned(t *testing.T) {
	l, sites, blanks, silent := averholt(), map[string]int{}, 0, 0
	for _, v := range l.Visits {
		sites[v.Site.ID]++
		if v.Day.Year() < firstYear || !v.Day.Before(Reference) {
			t.Errorf("%s is on %s", v.ID, v.Day)
		}
		if !v.Reported {
			silent++
		} else if len(v.Finds) == 0 {
			blanks++
		}
		for _, f := range v.Finds {
			if !slices.ContainsFunc(v.Site.cells, func(i int) bool { return l.truthOf(f.Species).Occupied[i] }) {
				t.Errorf("%s finds %s where it is not", v.ID, f.Species.ID)
			}
		}
	}
	if len(l.Visits) != visitsWanted || len(sites) < 50 || len(sites) > visitedSites || silent != unreported {
		t.Errorf("%d visits to %d sites, %d say nothing of absences", len(l.Visits), len(sites), silent)
	}
	if share := float64(blanks) / float64(len(l.Visits)); share < 0.15 || share > 0.7 {
		t.Errorf("%.2f of the visits are blank", share)
	}
}

func TestGazetteer(t *testing.T) {
	kinds := map[string]int{}
	for _, f := range features(t, "places.geojson") {
		kinds[f.Attributes["kind"]]++
		if _, isPoint := f.Geometry.(orb.Point); !isPoint || f.Attributes["name"] == "" {
			t.Errorf("%v", f.Attributes)
		}
	}
	if kinds[Office] != 1 || len(kinds) < 5 {
		t.Errorf("kinds %v", kinds)
	}
	if away := apart(averholt().office(), averholt().largestTown().At); away < 200 || away > 600 {
		t.Errorf("the office lies %.0f m off the middle of the town", away)
	}
}
