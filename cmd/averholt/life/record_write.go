package life

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// written is a sighting as its finder writes it down.
func (r *recorder) written(s *Species, p orb.Point) Record {
	d := Record{Species: s, Day: r.day(s), Recorder: fmt.Sprintf("R%02d", 1+pick(r.rng, r.senders))}
	r.place(&d, p)
	d.Stage = stageIn(r.rng, s, d.Day.Month())
	d.Count = countOf(r.rng, s, d.Stage)
	d.Protocol, d.Remarks = r.circumstances(s, d)
	return d
}

// place writes a place down as people do: most from a satellite receiver, some
// to a square of 100 m or 1 km, some read off a screen to three decimals.
func (r *recorder) place(d *Record, p orb.Point) {
	switch u := r.rng.Float64(); {
	case u < 0.62:
		d.Uncertainty, d.Decimals = oneOf(r.rng, 5, 5, 8, 10, 10, 12, 15, 20, 25, 30), 5
		spread, angle := float64(d.Uncertainty)*math.Sqrt(r.rng.Float64())*0.8, between(r.rng, 0, 2*math.Pi)
		d.At = orb.Point{p[0] + spread*math.Cos(angle), p[1] + spread*math.Sin(angle)}
	case u < 0.82:
		d.At, d.Uncertainty, d.Decimals = squareOf(p, 100), 71, 6
	case u < 0.90:
		d.At, d.Uncertainty, d.Decimals = squareOf(p, 1000), 707, 6
	default:
		r.placeByDecimals(d, p)
	}
}

// squareOf is the middle of the square that holds a point.
func squareOf(p orb.Point, side float64) orb.Point {
	return orb.Point{(math.Floor(p[0]/side) + 0.5) * side, (math.Floor(p[1]/side) + 0.5) * side}
}

// placeByDecimals rounds longitude and latitude to three decimals. What they
// leave open is the diagonal of a step (Chapman & Wieczorek 2020, Georeferencing
// Best Practices).
func (r *recorder) placeByDecimals(d *Record, p orb.Point) {
	const step = 0.001
	xs, ys := []float64{p[0]}, []float64{p[1]}
	r.toDegrees(xs, ys)
	xs[0], ys[0] = roundTo(xs[0], step), roundTo(ys[0], step)
	d.Decimals, d.Precision, d.Uncertainty = 3, "0.001", stepUncertainty(step, ys[0])
	r.toGrid(xs, ys)
	d.At = orb.Point{xs[0], ys[0]}
}

// stepUncertainty is the diagonal of a step of degrees, in whole metres upwards,
// on a sphere a little larger than the Earth.
func stepUncertainty(step, latitude float64) int {
	const degree = 111700.0 // m; no degree of latitude is longer
	return int(math.Ceil(step * degree * math.Hypot(1, math.Cos(latitude*math.Pi/180))))
}

// day draws a day on which a species was met: three in four of the last ten
// years, in the months in which it is about, more often at a weekend. Never the
// first of a month, which often stands for an unknown day.
func (r *recorder) day(s *Species) time.Time {
	for {
		back := between(r.rng, 0, 10)
		if r.rng.Float64() > 0.76 {
			back = between(r.rng, 10, 24.5)
		}
		year := Reference.AddDate(0, 0, -int(back*365.25)).Year()
		month := time.Month(1 + pick(r.rng, s.active[:]))
		day := time.Date(year, month, 2+r.rng.IntN(daysIn(year, month)-1), 0, 0, 0, 0, time.UTC)
		weekend := day.Weekday() == time.Saturday || day.Weekday() == time.Sunday
		if day.Before(Reference) && day.After(Reference.AddDate(-24, -6, 0)) && s.inSeason(day) && (weekend || r.rng.Float64() < 0.5) {
			return day
		}
	}
}

func daysIn(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// inSeason tells whether a species is about in a day's ISO week, a week from
// either end of its season spared.
func (s *Species) inSeason(day time.Time) bool {
	_, week := day.ISOWeek()
	return week > s.weeks[0] && week < s.weeks[1]
}

// stageIn draws a life stage that can be seen in a month.
func stageIn(rng *rand.Rand, s *Species, month time.Month) string {
	for {
		stage := oneOf(rng, s.stages...)
		switch {
		case stage == "spawn" && (month < 3 || month > 6):
		case stage == "egg" && (month < 4 || month > 8):
		case stage == "larva" && (month < 5 || month > 9):
		case stage == "juvenile" && month < 5:
		default:
			return stage
		}
	}
}

// countOf draws a number of animals: mostly few.
func countOf(rng *rand.Rand, s *Species, stage string) int {
	switch {
	case stage == "spawn" || stage == "egg":
		return 1 + rng.IntN(6)
	case rng.Float64() < 0.12:
		return 0 // nobody counted
	}
	n := math.Floor(math.Pow(float64(s.most), math.Pow(rng.Float64(), 2.5)))
	return max(int(n), 1)
}

// circumstances are how an animal was met and what its finder wrote.
func (r *recorder) circumstances(s *Species, d Record) (protocol, remarks string) {
	rng := r.rng
	i, _ := r.cellOf(d.At)
	toRoad := float64(r.people.at[i])
	switch {
	case s.ID == "common_toad" && d.Day.Month() <= 4 && d.Stage == "adult":
		return roadWalk, oneOf(rng, "mild and wet", "crossing from the wood", "pairs in the ditch", "")
	case s.Group == amphibian && rng.Float64() < 0.6:
		return s.methods[0].name, oneOf(rng, "clear water", "among floating sweet-grass", "shallow end", "with pictures", "")
	case s.Group == amphibian:
		return "casual sighting", oneOf(rng, "under a log", "in a cellar light well", "under a paving slab", "on the path after rain", "")
	case toRoad < 40 && rng.Float64() < 0.3:
		return "casual sighting", oneOf(rng, "dead on the lane", "warming on the verge", "crossing the track")
	case rng.Float64() < 0.45:
		return walkAndRefuges, oneOf(rng, "under tin", "under felt", "basking beside refuge 7", "south side of the bank", "sloughing", "")
	}
	return "casual sighting", oneOf(rng, "while walking the dog", "basking on heather litter", "seen twice that week", "with pictures", "", "")
}

// drawOnce draws the old records of places where a species once was.
func (r *recorder) drawOnce() {
	for _, once := range [onceRecords]struct {
		id   string
		year int
	}{{"natterjack", 1987}, {"adder", 1992}, {"adder", 1997}, {"sand_lizard", 1975}} {
		s := speciesNamed(once.id)
		for range 2000 {
			at, ok := r.onceGround(s)
			if !ok {
				break
			}
			d := r.written(s, at)
			d.Day = time.Date(once.year, d.Day.Month(), d.Day.Day(), 0, 0, 0, 0, time.UTC)
			d.At, d.Uncertainty, d.Decimals, d.Precision, d.old = squareOf(d.At, 100), 71, 6, "", true
			d.Protocol, d.Remarks = "casual sighting", "card index"
			if s.inSeason(d.Day) && r.inHistoric(s, d.At) && r.documented(s, d.At) > 0 && r.isSound(d) {
				r.keep(d)
				break
			}
		}
	}
}

// onceGround is a point about a species' historic range; none where it has none.
func (r *recorder) onceGround(s *Species) (orb.Point, bool) {
	for _, part := range r.Ranges {
		if part.Species == s && part.Status == "historic" {
			b := part.Outline.Bound()
			return orb.Point{between(r.rng, b.Min[0], b.Max[0]), between(r.rng, b.Min[1], b.Max[1])}, true
		}
	}
	return orb.Point{}, false
}

// inHistoric tells whether a species was once at a point.
func (l *Life) inHistoric(s *Species, p orb.Point) bool {
	for _, r := range l.Ranges {
		if r.Species == s && r.Status == "historic" && planar.MultiPolygonContains(r.Outline, p) {
			return true
		}
	}
	return false
}
