package main

import (
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"tussock/layers/records"
	"tussock/suitability/project"
)

// plantedRules are the rules that must find each defect that the invented
// district plants (any of them counts): they are set apart from the district's
// own words, since its makers know nothing of the tests.
var plantedRules = map[string][]string{
	"swapped axes":                 {"axes"},
	"centroid":                     {"centre"},
	"missing uncertainty":          {"uncertainty"},
	"land species in open water":   {"water"},
	"out of season":                {"season"},
	"duplicate":                    {"duplicate"},
	"look-alike outside the range": {"range"},
	"default date":                 {"date"},
	"zero coordinates":             {"zero-coordinate"},
	"future date":                  {"future-date"},
	"generalised":                  {"generalised"},
}

// districtSeeds are the documented district and two that nothing was fitted to.
var districtSeeds = []uint64{5603, 1, 424242}

// TestDistrictRecordsAreCleaned makes the invented district: one, or as many as
// TUSSOCK_DISTRICTS says, up to three. Every planted defect must be found by its
// own rule, and at most 2 in 100 sound records be held. The district's makers and
// the tests share no code.
func TestDistrictRecordsAreCleaned(t *testing.T) {
	for _, seed := range districtSeeds[:min(fromEnv("TUSSOCK_DISTRICTS", 1), len(districtSeeds))] {
		folder := averholtOf(t, seed)
		o, err := project.Open(context.Background(), folder)
		if err != nil {
			t.Fatal(err)
		}
		cleaning, err := o.Cleaning(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		compareWithPlanted(t, seed, cleaning, plantedIn(t, folder))
		if err := o.Close(); err != nil {
			t.Error(err)
		}
	}
}

// plantedIn reads which record carries which defect.
func plantedIn(t *testing.T, folder string) map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(folder, "truth", "defects.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	planted := map[string]string{}
	for _, row := range rows[1:] {
		planted[row[0]] = row[1]
	}
	return planted
}

// findings are the rules that spoke of each row, by its identifier.
func findings(c *records.Cleaning) map[string][]string {
	found := map[string][]string{}
	for _, r := range c.Records {
		for _, o := range r.Flags() {
			found[r.ID] = append(found[r.ID], string(o.Test))
		}
	}
	for _, r := range c.Rejects {
		found[r.Row[0]] = append(found[r.Row[0]], string(r.Reason))
	}
	return found
}

func compareWithPlanted(t *testing.T, seed uint64, c *records.Cleaning, planted map[string]string) {
	t.Helper()
	found, right, count, rules := findings(c), map[string]int{}, map[string]int{}, map[string]map[string]int{}
	for id, kind := range planted {
		count[kind]++
		if rules[kind] == nil {
			rules[kind] = map[string]int{}
		}
		for _, rule := range found[id] {
			rules[kind][rule]++
		}
		if slices.ContainsFunc(found[id], func(rule string) bool { return slices.Contains(plantedRules[kind], rule) }) {
			right[kind]++
		} else {
			t.Errorf("seed %d: %s: %s was not found; flagged by %q", seed, id, kind, found[id])
		}
	}
	uses := map[records.Use]int{}
	for _, r := range c.Records {
		if planted[r.ID] != "" {
			continue
		}
		uses[r.Use]++
		if r.Use == records.Held {
			t.Logf("seed %d: sound record %s is held: %+v", seed, r.ID, r.Reasons())
		}
	}
	sound := uses[records.Fine] + uses[records.Coarse] + uses[records.History] + uses[records.Held]
	t.Logf("seed %d: %d sound records: %v", seed, sound, uses)
	for _, kind := range sortedKeys(count) {
		t.Logf("  %-30s planted %2d  found %2d  flagged by %v", kind, count[kind], right[kind], rules[kind])
	}
	if len(planted) == 0 || sound < 300 || uses[records.Held]*50 > sound {
		t.Errorf("seed %d: %d planted; %d of %d sound records held", seed, len(planted), uses[records.Held], sound)
	}
}

func sortedKeys(m map[string]int) []string {
	var keys []string
	for key := range m {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}
