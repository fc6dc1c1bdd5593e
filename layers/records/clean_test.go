package records

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// world is an invented district: a lake, a hill in the north, a range in the
// west, two towns and an office, on the sea so that nothing real is meant.
type world struct {
	t      testing.TB
	rng    *rand.Rand
	grid   layers.Grid
	toLL   *layers.Transform
	lines  []string
	defect map[string]string // by identifier
	sites  []orb.Point
}

const worldHeader = "occurrenceID,scientificName,eventDate,decimalLongitude,decimalLatitude,geodeticDatum,coordinateUncertaintyInMeters,recordedBy,dataGeneralizations,occurrenceStatus"

var (
	lake        = orb.Point{508_000, 6_206_000}
	lakeRadius  = 800.0
	townMiddle  = orb.Point{503_337, 6_209_671}
	office      = orb.Point{503_112, 6_209_245}
	rangeEastX  = 506_000.0
	worldToday  = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	worldNames  = []string{"Lacerta agilis", "Bufo bufo", "Vipera berus", "Natrix helvetica"}
	worldPeople = []string{"A. Ash", "B. Birch", "C. Cherry", "D. Dogwood", "E. Elm"}
)

func newWorld(t testing.TB, seed uint64) *world {
	t.Helper()
	utm := crs(t, "EPSG:32631")
	g, err := layers.NewGrid(utm, orb.Bound{Min: orb.Point{488_000, 6_197_080}, Max: orb.Point{512_000, 6_215_080}}, 25)
	if err != nil {
		t.Fatal(err)
	}
	toLL, err := layers.NewTransform(utm, layers.WGS84())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { toLL.Close() })
	w := &world{t: t, rng: rand.New(rand.NewPCG(seed, 1)), grid: g, toLL: toLL, defect: map[string]string{}}
	for range 12 {
		w.sites = append(w.sites, w.place("Bufo bufo"))
	}
	return w
}

// hill is the ground's height at a place.
func hill(p orb.Point) float64 { return 10 + 200*max(0, (p[1]-6_206_080)/9000) }

// checks are what a project would know of the world.
func (w *world) checks() Checks {
	high := 120.0
	known := map[string]*Expectation{}
	for _, name := range worldNames {
		known[name] = &Expectation{Name: name, InSeason: func(week int) bool { return week >= 9 && week <= 44 }, EffectM: 1000}
	}
	known["Bufo bufo"].EffectM, known["Natrix helvetica"].InWater = 2000, true
	known["Lacerta agilis"].ElevationMax = &high
	known["Vipera berus"].Range = func(at orb.Point, radius float64) (RangeWord, error) {
		if at[0]-radius > rangeEastX {
			return RangeOutside, nil
		}
		return RangeInside, nil
	}
	return Checks{
		Area: w.grid, Reference: worldToday, Centres: []NamedPlace{{Name: "Oakley", At: townMiddle}, {Name: "Hall", At: office, Office: true}},
		Water: func(at orb.Point, radius float64) (bool, error) {
			return math.Hypot(at[0]-lake[0], at[1]-lake[1])+radius <= lakeRadius, nil
		},
		Elevation: func(at orb.Point, radius float64) (float64, bool, error) {
			return hill(orb.Point{at[0], at[1] - radius}), true, nil
		},
		Species: func(name string) *Expectation { return known[name] },
	}
}

// sketch is a record in the making.
type sketch struct {
	id, name, date, recorder, blurred, status string
	at                                        orb.Point // in the grid's CRS
	lonlat                                    *orb.Point
	decimals                                  int
	uncertainty                               string
}

// place is one where a species may be met.
func (w *world) place(name string) orb.Point {
	for {
		p := orb.Point{488_500 + 23_000*w.rng.Float64(), 6_197_500 + 17_000*w.rng.Float64()}
		switch {
		case math.Hypot(p[0]-lake[0], p[1]-lake[1]) < lakeRadius && name != "Natrix helvetica":
		case name == "Vipera berus" && p[0] > rangeEastX:
		case name == "Lacerta agilis" && hill(p) > 120:
		default:
			return p
		}
	}
}

// day is one in season, of the last 24 years.
func (w *world) day() time.Time {
	for {
		d := worldToday.AddDate(0, 0, -1-w.rng.IntN(24*365))
		if _, week := d.ISOWeek(); week >= 9 && week <= 44 {
			return d
		}
	}
}

// sound is a record without a fault. One in ten is at a site that people go to
// again and again.
func (w *world) sound() sketch {
	name := worldNames[w.rng.IntN(len(worldNames))]
	s := sketch{
		id: fmt.Sprintf("s-%03d", len(w.lines)), name: name, date: w.day().Format(time.DateOnly),
		recorder: worldPeople[w.rng.IntN(len(worldPeople))], at: w.place(name), decimals: 5 + w.rng.IntN(3),
		uncertainty: []string{"5", "10", "10", "25", "50", "100"}[w.rng.IntN(6)],
	}
	if name == "Bufo bufo" && w.rng.IntN(3) == 0 {
		s.at, s.decimals = w.sites[w.rng.IntN(len(w.sites))], 6
	}
	return s
}

func (w *world) write(s sketch) {
	at := s.lonlat
	if at == nil {
		xs, ys := []float64{s.at[0]}, []float64{s.at[1]}
		if err := w.toLL.Points(xs, ys); err != nil {
			w.t.Fatal(err)
		}
		at = &orb.Point{xs[0], ys[0]}
	}
	w.lines = append(w.lines, fmt.Sprintf("%s,%s,%s,%.*f,%.*f,EPSG:4326,%s,%s,%s,%s", s.id, s.name, s.date,
		s.decimals, at[0], s.decimals, at[1], s.uncertainty, s.recorder, s.blurred, s.status))
}

// plant writes a record with a fault.
func (w *world) plant(kind string, spoil func(s *sketch)) {
	s := w.sound()
	s.id = fmt.Sprintf("d-%03d", len(w.lines))
	s.decimals = 5
	spoil(&s)
	w.defect[s.id] = kind
	w.write(s)
}

// lonLatOf is a sketch's place in degrees.
func (w *world) lonLatOf(p orb.Point) orb.Point {
	xs, ys := []float64{p[0]}, []float64{p[1]}
	if err := w.toLL.Points(xs, ys); err != nil {
		w.t.Fatal(err)
	}
	return orb.Point{xs[0], ys[0]}
}

// plantAll plants several of every fault.
func (w *world) plantAll() {
	for range 4 {
		w.plant("zero-coordinate", func(s *sketch) { s.lonlat = &orb.Point{} })
		w.plant("future-date", func(s *sketch) { s.date = "2031-05-04" })
		w.plant("impossible", func(s *sketch) { s.at = orb.Point{530_000, s.at[1]} })
		w.plant("axes", func(s *sketch) { p := w.lonLatOf(s.at); s.lonlat = &orb.Point{p[1], p[0]} })
		w.plant("axes", func(s *sketch) { p := w.lonLatOf(s.at); s.lonlat = &orb.Point{-p[0], p[1]} })
		w.plant("axes", func(s *sketch) { p := w.lonLatOf(s.at); s.lonlat = &orb.Point{p[0], -p[1]} })
		w.plant("uncertainty", func(s *sketch) { s.uncertainty = "" })
		w.plant("uncertainty", func(s *sketch) { s.uncertainty = "0" })
		w.plant("centre", func(s *sketch) { s.name, s.at = "Bufo bufo", townMiddle })
		w.plant("centre", func(s *sketch) { s.name, s.at = "Bufo bufo", office })
		w.plant("centre", func(s *sketch) { s.name, s.at, s.decimals = "Bufo bufo", w.square(1000), 6 })
		w.plant("centre", func(s *sketch) { s.name, s.at, s.uncertainty = "Bufo bufo", orb.Point{497_123.4, 6_203_456.7}, "" })
		w.plant("water", func(s *sketch) { s.name, s.uncertainty, s.at = "Bufo bufo", "25", w.inLake() })
		w.plant("date", func(s *sketch) { s.date = s.date[:4] + "-01-01" })
		w.plant("generalised", func(s *sketch) { s.blurred = "to a square of 1 km"; s.uncertainty = "707" })
		w.plant("age", func(s *sketch) { s.date = "1987-05-17" })
		w.plant("range", func(s *sketch) {
			s.name, s.at = "Vipera berus", orb.Point{511_000 - 800*w.rng.Float64(), 6_200_000 + 900*w.rng.Float64()}
		})
		w.plant("season", func(s *sketch) { s.date = s.date[:4] + "-12-15" })
		w.plant("elevation", func(s *sketch) {
			s.name, s.at = "Lacerta agilis", orb.Point{500_123 + 900*w.rng.Float64(), 6_214_321 + 700*w.rng.Float64()}
		})
		w.plant("scale", func(s *sketch) { s.uncertainty = "7071" })
		w.twin()
	}
}

func (w *world) square(side float64) orb.Point {
	p := w.place("Bufo bufo")
	return orb.Point{(math.Floor(p[0]/side) + 0.5) * side, (math.Floor(p[1]/side) + 0.5) * side}
}

func (w *world) inLake() orb.Point {
	return orb.Point{lake[0] - 300 + 600*w.rng.Float64(), lake[1] - 300 + 600*w.rng.Float64()}
}

// twin plants the same sighting again, as another program writes it: to fewer
// decimals.
func (w *world) twin() {
	s := w.sound()
	s.decimals = 6
	w.write(s)
	s.id = fmt.Sprintf("d-%03d", len(w.lines))
	s.decimals = 5
	w.defect[s.id] = "duplicate"
	w.write(s)
}

func (w *world) read() Set {
	file := filepath.Join(w.t.TempDir(), "records.csv")
	text := worldHeader + "\n" + strings.Join(w.lines, "\n") + "\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		w.t.Fatal(err)
	}
	set, err := Read(context.Background(), Source{File: file, Today: worldToday}, w.grid.CRS)
	if err != nil {
		w.t.Fatal(err)
	}
	return set
}

// TestCleanFindsWhatWasPlanted plants every fault among 500 sound records: each
// must be found by its own rule, and at most 2 in 100 sound records held.
func TestCleanFindsWhatWasPlanted(t *testing.T) {
	for _, seed := range []uint64{1, 20260601, 987654321} {
		w := newWorld(t, seed)
		for range 500 {
			w.write(w.sound())
		}
		w.plantAll()
		done, err := Clean([]Set{w.read()}, w.checks())
		if err != nil {
			t.Fatal(err)
		}
		w.report(done, seed)
	}
}

func (w *world) report(done *Cleaning, seed uint64) {
	planted, found := map[string]int{}, map[string]int{}
	by := map[string]map[string]int{}
	sound, held := 0, 0
	for _, r := range done.Rejects {
		id := r.Row[0]
		kind := w.defect[id]
		planted[kind]++
		if string(r.Reason) == kind {
			found[kind]++
		}
		tally(by, kind, string(r.Reason))
	}
	for _, r := range done.Records {
		kind, isDefect := w.defect[r.ID]
		if !isDefect {
			sound++
			if r.Use == Held {
				held++
				w.t.Logf("seed %d: sound record %s held: %+v", seed, r.ID, r.Reasons())
			}
			continue
		}
		planted[kind]++
		if r.Outcome(Test(kind)).Flagged {
			found[kind]++
		}
		for _, o := range r.Flags() {
			tally(by, kind, string(o.Test))
		}
	}
	w.t.Logf("seed %d: of %d sound records %d held", seed, sound, held)
	for _, kind := range kinds(planted) {
		w.t.Logf("  %-16s planted %2d  found %2d  flagged by %v", kind, planted[kind], found[kind], by[kind])
		if found[kind] != planted[kind] {
			w.t.Errorf("seed %d: %s: %d of %d found", seed, kind, found[kind], planted[kind])
		}
	}
	if held*50 > sound {
		w.t.Errorf("seed %d: %d of %d sound records held", seed, held, sound)
	}
}

func tally(by map[string]map[string]int, kind, rule string) {
	if by[kind] == nil {
		by[kind] = map[string]int{}
	}
	by[kind][rule]++
}

func kinds(count map[string]int) []string {
	var list []string
	for kind := range count {
		list = append(list, kind)
	}
	slices.Sort(list)
	return list
}
