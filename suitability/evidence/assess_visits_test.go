package evidence

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"tussock/layers/records"
	"tussock/suitability"
)

const newt = "Triturus nusquam"

// visitAt is a visit that looked for newts on one day, and found some or none.
func visitAt(site string, at Place, day time.Time, found bool) records.Visit {
	yes := true
	v := records.Visit{ID: site + day.String(), Site: site, Point: at.At, UncertaintyM: &at.Radius, Date: records.Interval{First: day, Last: day}, Target: []string{newt}, AbsenceReported: &yes}
	if found {
		v.Finds = []records.Record{{Species: newt}}
	}
	return v
}

// TestVisitsBecomeSites makes visits whose sites are known, and holds what becomes
// of each, with TSS and Brier score counted by hand.
func TestVisitsBecomeSites(t *testing.T) {
	const seed = 6
	random := rand.New(rand.NewPCG(seed, 0))
	g := landGrid(t, 60, 60)
	cells := hills(random, g, 10)
	j := landJob(t, g, map[string][]float32{"land": cells})
	s := likes("land")
	s.Profile.Facts.Season = suitability.Season{First: 10, Last: 40}
	s.Profile.Facts.Movement.Effect = 500
	may, june, january := time.Date(2024, 5, 6, 0, 0, 0, 0, time.UTC), time.Date(2024, 6, 6, 0, 0, 0, 0, time.UTC), time.Date(2024, 1, 8, 0, 0, 0, 0, time.UTC)

	var visits []records.Visit
	found, blank, brier, hits, alarms := 0, 0, 0.0, 0, 0
	for i, place := range scattered(random, g, cells, 0, 40) {
		col, row := g.CellAt(place.At)
		v := float64(cells[row*g.Cols+col])
		place.Radius = 10 // the one cell
		holds := random.Float64() < v
		name := string(rune('A' + i))
		visits = append(visits, visitAt(name, place, may, false), visitAt(name, place, june, holds))
		visits = append(visits, visitAt(name, place, january, false)) // no wonder
		if holds {
			found++
			brier += (1 - v) * (1 - v) / 40
		} else {
			blank++
			brier += v * v / 40
		}
		if v >= 0.6 && holds {
			hits++
		}
		if v >= 0.6 && !holds {
			alarms++
		}
	}
	rough := 800.0
	astray := visitAt("far", Place{At: g.Centre(-30, 5), Radius: 10}, may, true)
	coarse := visitAt("rough", Place{At: g.Centre(5, 5), Radius: rough}, may, true)
	silent := visitAt("silent", Place{At: g.Centre(5, 5), Radius: 10}, may, false)
	silent.Target = []string{"Bufo bufo"}
	visits = append(visits, astray, coarse, silent)

	a, err := Assess(context.Background(), j, s, Finds{Visits: visits, Name: newt}, AssessOptions{})
	if err != nil {
		t.Fatal(err)
	}
	v := a.Visited
	if v.Err != nil || v.Visits != 123 || v.Sites != 40 || v.Found != found || v.Blank != blank || v.Repeated != 40 {
		t.Errorf("seed %d: %+v; %d found, %d blank", seed, v, found, blank)
	}
	if v.UnusedVisits[OffSeason] != 40 || v.UnusedVisits[RoughSite] != 1 || v.UnusedVisits[SilentVisit] != 1 || v.UnusedSites[OutsideArea] != 1 {
		t.Errorf("visits %v, sites %v", v.UnusedVisits, v.UnusedSites)
	}
	tss := float64(hits)/float64(found) - float64(alarms)/float64(blank)
	if math.Abs(v.Thresholds[2].TSS-tss) > 1e-6 || math.Abs(v.Brier.Score-brier) > 1e-6 {
		t.Errorf("seed %d: TSS at 0.6 %g, Brier score %g; by hand %g and %g", seed, v.Thresholds[2].TSS, v.Brier.Score, tss, brier)
	}
	if !v.HasDetection || len(v.Classes) != 5 {
		t.Errorf("%+v", v.Classes)
	}
	if a.Background.Claim.Skill != TooFew || !errors.Is(a.Background.InRange.Index.Err, ErrTooFew) {
		t.Errorf("no records: %+v", a.Background.Claim)
	}
	few, err := Assess(context.Background(), j, s, Finds{Visits: visits[:30], Name: newt}, AssessOptions{})
	if err != nil || !errors.Is(few.Visited.Err, ErrTooFew) {
		t.Errorf("ten sites: %v, %v", few.Visited.Err, err)
	}
}

// TestWhichRecordsJudge goes through the reasons for which a record does not.
func TestWhichRecordsJudge(t *testing.T) {
	g := landGrid(t, 40, 40)
	at, u := g.Centre(3, 3), 20.0
	record := func(use records.Use, status records.Status, tests ...records.Outcome) records.Cleaned {
		return records.Cleaned{Record: records.Record{Point: at, UncertaintyM: &u, Status: status}, Use: use, Tests: tests}
	}
	places, unused := recordPlaces([]records.Cleaned{
		record(records.Fine, records.Present),
		record(records.Fine, records.Present, records.Outcome{Test: records.Thinned, Flagged: true}),
		record(records.Fine, records.Present, records.Outcome{Test: records.Thinned}),
		record(records.Fine, records.Absent),
		record(records.Coarse, records.Present), record(records.History, records.Present), record(records.Held, records.Present),
	})
	if len(places) != 2 || places[0].Radius != u || unused[SameCellYear] != 1 || unused[NotPresent] != 1 || unused[NotFine] != 3 {
		t.Errorf("%v, %v", places, unused)
	}
}
