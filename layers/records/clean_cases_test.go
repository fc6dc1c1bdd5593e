package records

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// oneOf cleans records of the small world that differ from a sound toad's by
// one thing each.
func cleanedBy(t *testing.T, change ...func(r *Record)) []Cleaned {
	t.Helper()
	w := newWorld(t, 5)
	var set Set
	for i, c := range change {
		u, date := 10.0, Interval{day("2025-04-16"), day("2025-04-16")}
		r := Record{
			ID: string(rune('a' + i)), Species: "Bufo bufo", CRS: w.grid.CRS, Recorder: "A. Ash", Date: date, UncertaintyM: &u,
			Point: orb.Point{495_123.4 + 711*float64(i), 6_203_456.7},
		}
		c(&r)
		if r.Given == (orb.Point{}) {
			r.Given = r.Point
		}
		set.Records = append(set.Records, r)
	}
	done, err := Clean([]Set{set}, w.checks())
	if err != nil {
		t.Fatal(err)
	}
	return done.Records
}

// TestOneThingWrong: one change at a time, at and beside each bound.
func TestOneThingWrong(t *testing.T) {
	on := func(text string) func(r *Record) {
		return func(r *Record) { r.Date, _ = ParseDate(text) }
	}
	at := func(x, y float64) func(r *Record) { return func(r *Record) { r.Point = orb.Point{x, y} } }
	known := func(m float64) func(r *Record) { return func(r *Record) { r.UncertaintyM = &m } }
	both := func(a, b func(r *Record)) func(r *Record) { return func(r *Record) { a(r); b(r) } }
	species := func(name string) func(r *Record) { return func(r *Record) { r.Species = name } }
	for _, c := range []struct {
		name   string
		change func(r *Record)
		flags  string // in the order of the tests
		use    Use
	}{
		{"sound", func(r *Record) {}, "", Fine},
		{"at the margin", at(514_000, 6_203_456), "", Fine},
		{"beyond the margin", at(514_011, 6_203_456), "impossible", Held},
		{"its uncertainty reaches back", both(at(514_011, 6_203_456), known(20)), "", Fine},
		{"the reference date itself", on("2026-06-01"), "", Fine},
		{"the day after", on("2026-06-02"), "impossible", Held},
		{"uncertainty unknown", func(r *Record) { r.UncertaintyM = nil }, "uncertainty", Coarse},
		{"ten years old", on("2016-06-02"), "", Fine},
		{"eleven years old", on("2015-05-30"), "", Fine},
		{"twenty-five years old", on("2001-06-02"), "", Fine},
		{"twenty-six years old", on("2000-05-30"), "age", History},
		{"no date", func(r *Record) { r.Date = Interval{} }, "age", History},
		{"an old interval that ends lately", on("1990/2020"), "age", History},
		{"1 January", on("2020-01-01"), "date", Fine},
		{"the first of May", on("2020-05-01"), "", Fine},
		{"week 8", on("2025-02-23"), "season", Held},
		{"week 9", on("2025-02-24"), "", Fine},
		{"a winter that reaches week 9", on("2024-12-01/2025-02-24"), "", Fine},
		{"a whole year", on("2024"), "", Fine},
		{"blurred", func(r *Record) { r.Generalised = "to 10 km" }, "generalised", Coarse},
		{"place withheld", func(r *Record) { r.Withheld = "coordinates given on request" }, "generalised", Coarse},
		{"finder withheld", func(r *Record) { r.Withheld = "name of the finder" }, "", Fine},
		{"the middle of 1 km", at(501_500.4, 6_203_499.7), "centre", Coarse},
		{"near the middle of 1 km", at(501_502, 6_203_500), "", Fine},
		{"the corner of 1 km", at(501_000, 6_203_000), "centre", Coarse},
		{"a corner that says so", both(at(501_000, 6_203_000), known(1414)), "", Fine},
		{"a middle that says so", both(at(501_500, 6_203_500), known(707.1)), "", Fine},
		{"the middle of 10 km", both(at(505_000, 6_205_000), known(1414)), "centre", Coarse},
		{"the town's middle", at(townMiddle[0]+9, townMiddle[1]), "centre", Coarse},
		{"beside it", at(townMiddle[0]+11, townMiddle[1]), "", Fine},
		{"the town and its uncertainty", both(at(townMiddle[0], townMiddle[1]), known(500)), "", Fine},
		{"the office", at(office[0], office[1]), "centre", Held},
		{"the office, whatever it says", both(at(office[0], office[1]), known(1500)), "centre", Held},
		{"50 m into the lake", at(lake[0]+749, lake[1]), "water", Held},
		{"less than 50 m into it", at(lake[0]+751, lake[1]), "", Fine},
		{"60 m in, known to 80 m", both(at(lake[0]+740, lake[1]), known(80)), "", Fine},
		{"a grass snake that swims", both(at(lake[0]+33, lake[1]), species("Natrix helvetica")), "", Fine},
		{"a stranger that swims", both(at(lake[0]+33, lake[1]), species("Anas strange")), "", Fine},
		{"in range", both(at(506_000, 6_203_456), species("Vipera berus")), "", Fine},
		{"out of range", both(at(506_011, 6_203_456), species("Vipera berus")), "range", Held},
		{"not met out of range", func(r *Record) {
			r.Status, r.Species, r.Point = Absent, "Vipera berus", orb.Point{507_000, 6_203_456}
		}, "", Fine},
		{"not met out of season", both(on("2025-12-15"), func(r *Record) { r.Status = Absent }), "", Fine},
		{"too high", both(at(500_123, 6_211_100), species("Lacerta agilis")), "elevation", Held},
		{"perhaps not too high", both(at(500_123, 6_211_100), both(known(100), species("Lacerta agilis"))), "", Fine},
		{"as well known as it must be", known(2000), "", Fine},
		{"known less well", known(2001), "scale", Coarse},
		{"a stranger known less well than 1 km", both(known(1001), species("Anas strange")), "scale", Coarse},
		{"old, and in December", on("1980-12-15"), "age season", Held},
	} {
		r := cleanedBy(t, c.change)[0]
		var flags []string
		for _, o := range r.Flags() {
			flags = append(flags, string(o.Test))
		}
		if strings.Join(flags, " ") != c.flags || r.Use != c.use {
			t.Errorf("%s: %v, flagged by %q", c.name, r.Use, flags)
		}
	}
}

// TestOnceHere: a record of old from where the species was once is what one
// expects; one of today is a rediscovery or a mistake.
func TestOnceHere(t *testing.T) {
	w := newWorld(t, 5)
	checks := w.checks()
	once := &Expectation{Name: "Bufo bufo", Range: func(orb.Point, float64) (RangeWord, error) { return RangeOnce, nil }}
	checks.Species = func(string) *Expectation { return once }
	u := 10.0
	var set Set
	for _, date := range []string{"1990-05-02", "2010-05-02", "2025-05-02"} {
		d, _ := ParseDate(date)
		set.Records = append(set.Records, Record{Species: "Bufo bufo", Date: d, CRS: w.grid.CRS, Point: orb.Point{500_123, 6_206_234}, UncertaintyM: &u})
	}
	done, err := Clean([]Set{set}, checks)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []Use{History, Fine, Held} {
		if done.Records[i].Use != want {
			t.Errorf("%v: %v", done.Records[i].Date, done.Records[i].Use)
		}
	}
}

// TestDecimalsCount: few decimals contradict a small uncertainty, by the formula
// of Chapman & Wieczorek (2020), Georeferencing Best Practices, doi
// 10.15468/doc-gg7h-s853: their example, latitude 10 with steps of 0.5°, is
// 77.87 km; at 0.001° and 60° they print 125 m.
func TestDecimalsCount(t *testing.T) {
	if got := PrecisionUncertainty(0.5, 10); math.Abs(got-77_870) > 5 {
		t.Errorf("0.5° at 10°: %v m", got)
	}
	const header = "scientificName,decimalLongitude,decimalLatitude,geodeticDatum,eventDate,coordinateUncertaintyInMeters\n"
	set := mustRead(t, header+"Bufo bufo,3.123,60.000,EPSG:4326,2025-04-16,10\nBufo bufo,3.123,60.000,EPSG:4326,2025-04-16,\nBufo bufo,3.12345,60.00123,EPSG:4326,2025-04-16,10\n", Source{}, crs(t, "EPSG:32631"))
	done, err := Clean([]Set{set}, Checks{})
	if err != nil {
		t.Fatal(err)
	}
	raised, missing, fine := done.Records[0], done.Records[1], done.Records[2]
	if math.Abs(*raised.UncertaintyM-125) > 1 || !raised.Outcome(NoUncertainty).Flagged || raised.Use != Fine {
		t.Errorf("raised to %v", *raised.UncertaintyM)
	}
	if missing.UncertaintyM != nil || missing.Use != Coarse || !strings.Contains(missing.Outcome(NoUncertainty).Words, "125 m") {
		t.Errorf("%+v", missing.Outcome(NoUncertainty))
	}
	if *fine.UncertaintyM != 10 || fine.Outcome(NoUncertainty).Flagged {
		t.Errorf("%+v", fine.Outcome(NoUncertainty))
	}
	if set.Records[0].UncertaintyM == raised.UncertaintyM || *set.Records[0].UncertaintyM != 10 {
		t.Error("the record that was read has changed")
	}
}

// TestAnOfficeInATown: the office holds a record, whichever of the two places the
// gazetteer names first.
func TestAnOfficeInATown(t *testing.T) {
	w := newWorld(t, 5)
	checks := w.checks()
	u := 10.0
	set := Set{Records: []Record{{Species: "Bufo bufo", CRS: w.grid.CRS, Point: townMiddle, Given: townMiddle, UncertaintyM: &u}}}
	town, hall := NamedPlace{Name: "Oakley", At: townMiddle}, NamedPlace{Name: "Hall", At: townMiddle, Office: true}
	for _, centres := range [][]NamedPlace{{town, hall}, {hall, town}} {
		checks.Centres = centres
		done, err := Clean([]Set{set}, checks)
		if err != nil {
			t.Fatal(err)
		}
		if got := done.Records[0].Outcome(Centre); got.Use != Held {
			t.Errorf("%s first: %+v", centres[0].Name, got)
		}
	}
}

// TestSameSpot: three species, or three days, at the very same place. A record
// that states how well it knows its place is believed.
func TestSameSpot(t *testing.T) {
	same := func(r *Record) { r.Point = orb.Point{495_123.4, 6_203_456.7}; r.Recorder = r.ID }
	unknown := func(r *Record) { same(r); r.UncertaintyM = nil }
	rough := func(r *Record) { same(r); u := 71.0; r.UncertaintyM = &u }
	named := func(name string) func(r *Record) { return func(r *Record) { same(r); r.Species = name } }
	later := func(date string) func(r *Record) { return func(r *Record) { same(r); r.Date, _ = ParseDate(date) } }
	for _, c := range []struct {
		name    string
		records []func(r *Record)
		flags   []bool
		uses    []Use
	}{
		{"two species", []func(r *Record){same, named("Natrix helvetica")}, []bool{false, false}, []Use{Fine, Fine}},
		{"three species", []func(r *Record){same, named("Natrix helvetica"), named("Lacerta agilis")}, []bool{true, true, true}, []Use{Fine, Fine, Fine}},
		{"three days", []func(r *Record){unknown, later("2025-04-17"), later("2025-04-18"), rough}, []bool{true, true, true, false}, []Use{Coarse, Fine, Fine, Fine}},
	} {
		for i, r := range cleanedBy(t, c.records...) {
			if r.Outcome(Centre).Flagged != c.flags[i] || r.Use != c.uses[i] {
				t.Errorf("%s, record %d: %v, %+v", c.name, i, r.Use, r.Flags())
			}
		}
	}
}

// TestTheOneToTake: of one cell and year the best known of the most usable, and
// the first of equals. Nothing is dropped.
func TestTheOneToTake(t *testing.T) {
	at := func(u float64, date string) func(r *Record) {
		return func(r *Record) {
			r.Point, r.Recorder, r.UncertaintyM = orb.Point{495_123.4 + u/100, 6_203_456.7}, r.ID, &u
			r.Date, _ = ParseDate(date)
		}
	}
	all := cleanedBy(t, at(20, "2025-04-16"), at(2, "2025-12-16"), at(5, "2025-05-17"), at(5, "2025-05-18"), at(5, "2024-05-17"))
	for i, want := range []bool{true, true, false, true, false} {
		if got := all[i].Outcome(Thinned); got.Flagged != want || got.Flagged && !strings.Contains(got.Words, "c is the one") {
			t.Errorf("record %d: %+v", i, got)
		}
	}
	if i := slices.IndexFunc(all, func(r Cleaned) bool { return r.Use != Fine }); i != 1 {
		t.Errorf("record %d is %v", i, all[i].Use)
	}
}

// TestTimeOfDayShowsTheDay: 1 January with a time of day is a day, whatever the
// source calls its columns.
func TestTimeOfDayShowsTheDay(t *testing.T) {
	const header = "scientificName,Tag,Uhr,eventTime,decimalLongitude,decimalLatitude,coordinateUncertaintyInMeters\n"
	const place = ",3.12345,60.00123,25\n"
	for _, c := range []struct {
		date, clock, eventTime string
		fields                 map[string]string
		flagged                bool
	}{
		{"2020-01-01", "", "", nil, true},
		{"2020-01-01T00:00:00Z", "", "", nil, true},
		{"2020-01-01T14:30+01:00", "", "", nil, false},
		{"2020-01-01", "", "00:00", nil, true},
		{"2020-01-01", "", "14:30:00Z", nil, false},
		{"2020-01-01", "14:30", "", nil, true},
		{"2020-01-01", "14:30", "", map[string]string{"eventTime": "Uhr"}, false},
	} {
		fields := map[string]string{"eventDate": "Tag"}
		for term, column := range c.fields {
			fields[term] = column
		}
		row := "Bufo bufo," + c.date + "," + c.clock + "," + c.eventTime + place
		done, err := Clean([]Set{mustRead(t, header+row, Source{Fields: fields}, crs(t, "EPSG:32631"))}, Checks{})
		if err != nil {
			t.Fatal(err)
		}
		if got := done.Records[0].Outcome(DefaultDate).Flagged; got != c.flagged {
			t.Errorf("%q, %q, %q: flagged %v", c.date, c.clock, c.eventTime, got)
		}
	}
}

// TestAgesAreOfTheCalendar: a record is ten years old on its tenth anniversary
// and more the day after, however many leap years lie between.
func TestAgesAreOfTheCalendar(t *testing.T) {
	for year := 2020; year < 2032; year++ {
		reference := time.Date(year, 6, 1, 0, 0, 0, 0, time.UTC)
		for _, c := range []struct {
			first time.Time
			use   Use
			words bool
		}{
			{reference.AddDate(-10, 0, 0), Fine, false},
			{reference.AddDate(-10, 0, -1), Fine, true},
			{reference.AddDate(-25, 0, 0), Fine, true},
			{reference.AddDate(-25, 0, -1), History, true},
		} {
			r := Record{Species: "Bufo bufo", Date: Interval{c.first, c.first}}
			done, err := Clean([]Set{{Records: []Record{r}}}, Checks{Reference: reference})
			if err != nil {
				t.Fatal(err)
			}
			if got := done.Records[0].Outcome(Age); got.Use != c.use || (got.Words != "") != c.words {
				t.Errorf("%v at %v: %+v", r.Date, reference, got)
			}
		}
	}
}

// TestASlipIntoNowhere: swapped, the place would have a latitude beyond 90°, and
// what lies nowhere lies not in the area.
func TestASlipIntoNowhere(t *testing.T) {
	area, err := layers.NewGrid(crs(t, "EPSG:3035"), orb.Bound{Min: orb.Point{4_000_000, 3_000_000}, Max: orb.Point{4_010_000, 3_010_000}}, 25)
	if err != nil {
		t.Fatal(err)
	}
	set := mustRead(t, "scientificName,decimalLongitude,decimalLatitude\nBufo bufo,100.12345,30.12345\n", Source{}, area.CRS)
	done, err := Clean([]Set{set}, Checks{Area: area})
	if err != nil {
		t.Fatal(err)
	}
	if got := done.Records[0].Outcome(Axes); got.Flagged {
		t.Errorf("%+v", got)
	}
}

// TestRoughPlacesReadNoGround: a stated uncertainty is a number of a file like
// any other, and must not decide how much ground is read.
func TestRoughPlacesReadNoGround(t *testing.T) {
	const most = mostGroundCells * 25
	widest := 0.0
	high := -1.0
	checks := Checks{
		Area:  layers.Grid{Cell: 25, Cols: 10, Rows: 10},
		Water: func(_ orb.Point, radius float64) (bool, error) { widest = max(widest, radius); return true, nil },
		Elevation: func(_ orb.Point, radius float64) (float64, bool, error) {
			widest = max(widest, radius)
			return 0, true, nil
		},
		Species: func(name string) *Expectation { return &Expectation{Name: name, ElevationMax: &high} },
	}
	for u, flagged := range map[float64]bool{most: true, most + 1: false, 1e9: false, 1e300: false} {
		r := Record{Species: "Bufo bufo", UncertaintyM: &u}
		done, err := Clean([]Set{{Records: []Record{r}}}, checks)
		if err != nil {
			t.Fatal(err)
		}
		for _, test := range []Test{InWater, Elevation} {
			if got := done.Records[0].Outcome(test); got.Flagged != flagged {
				t.Errorf("uncertainty %g: %+v", u, got)
			}
		}
	}
	if widest != most {
		t.Errorf("ground within %g m was read", widest)
	}
}
