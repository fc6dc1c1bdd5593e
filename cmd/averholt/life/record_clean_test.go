package life

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers/records"
)

// cleaned puts the file of records through the program's tests, told what a
// project would tell them.
func cleaned(t *testing.T) *records.Cleaning {
	t.Helper()
	l := averholt()
	c := records.Checks{Area: district().Grid, Reference: Reference, Water: func(at orb.Point, radius float64) (bool, error) {
		i, ok := l.cellOf(at)
		return ok && float64(l.shore.at[i]) > radius, nil
	}}
	for _, p := range l.Places {
		c.Centres = append(c.Centres, records.NamedPlace{Name: p.Name, At: p.At, Office: p.Kind == Office})
	}
	c.Species = func(name string) *records.Expectation {
		for i := range allSpecies {
			if s := &allSpecies[i]; s.Scientific == name {
				return l.expectation(s)
			}
		}
		return nil
	}
	done, err := records.Clean([]records.Set{readAll(t, "records.csv")}, c)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

// expectation is what a profile would say of a species, with a range edge of 5
// km for amphibians and 2 km for reptiles, and no more than the scale at which
// all places are known well enough.
func (l *Life) expectation(s *Species) *records.Expectation {
	edge := 2000.0
	if s.Group == amphibian {
		edge = 5000
	}
	return &records.Expectation{Name: s.Scientific, InWater: s.inWater, EffectM: 2000, InSeason: func(week int) bool {
		return week >= s.weeks[0] && week <= s.weeks[1]
	}, Range: func(at orb.Point, radius float64) (records.RangeWord, error) {
		switch away := l.documented(s, at); {
		case away == 0 || math.IsInf(away, 1):
		case l.inHistoric(s, at):
			return records.RangeOnce, nil
		case away > edge+radius:
			return records.RangeOutside, nil
		}
		return records.RangeInside, nil
	}}
}

// findsDefect is the test that must speak of each defect. Defects that the
// reader refuses have none.
var findsDefect = map[Defect]records.Test{
	Swapped: records.Axes, Centroid: records.Centre, Unstated: records.NoUncertainty, Drowned: records.InWater, OffSeason: records.Season,
	Repeated: records.Duplicate, Misnamed: records.Range, DefaultDay: records.DefaultDate, Generalised: records.GeneralisedPlace,
}

// The tests for records find every planted defect, and nothing in sound records
// but that some are old and some tell of one cell and year.
func TestCleaningFindsWhatWasPlanted(t *testing.T) {
	truth := map[string]Record{}
	for _, r := range averholt().Records {
		truth[r.ID] = r
	}
	for _, r := range cleaned(t).Records {
		planted := truth[r.ID]
		found := false
		for _, o := range r.Tests {
			if !o.Flagged {
				continue
			}
			found = found || o.Test == findsDefect[planted.Defect]
			old := o.Test == records.Age && planted.old
			if planted.Defect == Sound && !old && o.Test != records.Thinned {
				t.Errorf("%s is sound, and %s says: %s", r.ID, o.Test, o.Words)
			}
		}
		if planted.Defect != Sound && !found {
			t.Errorf("%s carries %q, and %q says nothing: %+v", r.ID, planted.Defect, findsDefect[planted.Defect], r.Tests)
		}
	}
}
