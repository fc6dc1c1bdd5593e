package life

import (
	"context"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb/planar"

	"tussock/layers/records"
)

// The visits of the district, read back from their archive, say of every species
// what the district knows: found, looked for and not found, or nothing.
func TestVisitsAreReadBack(t *testing.T) {
	l := averholt()
	got, err := records.ReadVisits(context.Background(), records.Source{File: filepath.Join(folder(), "visits")}, district().Grid.CRS)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Visits) != len(l.Visits) || len(got.Rejects) > 0 || len(got.Aside) > 0 || len(l.Visits) < 100 {
		t.Fatalf("%d visits of %d, %d rejected, %d finds aside: %q", len(got.Visits), len(l.Visits), len(got.Rejects), len(got.Aside), got.Notes)
	}
	counts := map[records.Result]int{}
	for i, want := range l.Visits {
		v := got.Visits[i]
		if v.ID != want.ID || v.Site != want.Site.ID || !v.Date.First.Equal(want.Day) || len(v.Finds) != len(want.Finds) ||
			*v.Duration.Value != float64(want.Minutes) || !slices.Equal(v.By, want.People) || planar.Distance(v.Point, want.Site.at) > 0.2 {
			t.Errorf("%s: %+v, want %+v", want.ID, v, want)
		}
		for _, truth := range l.Truth {
			s := truth.Species
			expected := records.Silent
			switch {
			case want.found(s):
				expected = records.Found
			case want.Reported && slices.Contains(want.Targets, s):
				expected = records.Blank
			}
			result := v.Result(s.Scientific, nil)
			if counts[result]++; result != expected {
				t.Errorf("seed %d, %s: %s is %v, want %v", testSeed, want.ID, s.ID, result, expected)
			}
		}
	}
	if counts[records.Found] < 20 || counts[records.Blank] < 20 || counts[records.Silent] < 20 {
		t.Errorf("too little happens to test anything: %v", counts)
	}
	t.Log(counts)
}
