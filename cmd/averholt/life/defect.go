package life

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/land"
)

// plantDefects adds the records with something wrong. Each starts as a sound
// record, so that it is wrong in one way only.
func (r *recorder) plantDefects() {
	before := len(r.drawn)
	r.plantCentroids()
	r.plantSwapped()
	r.plantUnstated()
	r.plantDrowned()
	r.plantOffSeason()
	r.plantMisnamed()
	r.plantDays()
	r.plantZero()
	r.plantGeneralised()
	r.plantRepeated(before)
	if planted := len(r.drawn) - before; planted != defectRecords {
		panic(fmt.Sprintf("life: %d defects were planted", planted))
	}
}

// fresh draws a record of a species that is sound so far: from a receiver, with
// five decimals. Where a seed's district has too little ground for the species,
// the commonest stands in.
func (r *recorder) fresh(id string) Record {
	for _, s := range [...]*Species{speciesNamed(id), speciesNamed("common_lizard"), speciesNamed("common_toad")} {
		for range 60 {
			near := r.rng.Float64() < nearShare
			d, ok := r.drawSound(s, r.cellsOf(s, near), near)
			if ok && d.Decimals == 5 {
				return d
			}
		}
	}
	panic("life: a district without lizards and toads")
}

// plant keeps a record with its defect, its place written down.
func (r *recorder) plant(d Record, defect Defect, words string, args ...any) *Record {
	d.Defect, d.Words = defect, fmt.Sprintf(words, args...)
	one := []Record{d}
	r.write(one)
	r.keep(one[0])
	return &r.drawn[len(r.drawn)-1]
}

// plantSwapped writes latitude where longitude belongs.
func (r *recorder) plantSwapped() {
	for _, id := range [...]string{"common_lizard", "grass_snake"} {
		d := r.plant(r.fresh(id), Swapped, "latitude and longitude stand in each other's column")
		d.latitude, d.longitude = d.longitude, d.latitude
	}
}

// plantCentroids puts records on points that only stand for a place, with an
// uncertainty that says otherwise.
func (r *recorder) plantCentroids() {
	square := r.quietSquare()
	for _, c := range [...]struct {
		id, words string
		at        orb.Point
	}{
		{"slow_worm", "the middle of Brackenford", r.townMiddle()},
		{"grass_snake", "the middle of Brackenford", r.townMiddle()},
		{"common_toad", "the middle of Brackenford", r.townMiddle()},
		{"common_lizard", "the middle of a square of 1 km", square},
		{"slow_worm", "the middle of a square of 1 km", square},
		{"common_toad", "the middle of a square of 1 km", square},
		{"smooth_newt", "the charity's office", r.office()},
		{"common_toad", "the charity's office", r.office()},
	} {
		d := r.fresh(c.id)
		d.At, d.Decimals, d.Remarks = c.at, 7, ""
		r.plant(d, Centroid, "the place is %s, and %d m is no uncertainty for that", c.words, d.Uncertainty)
	}
}

// townMiddle is where the gazetteer has the largest town.
func (r *recorder) townMiddle() orb.Point { return wholeMetres(r.largestTown().At) }

// quietSquare is the middle of a square of 1 km with many common lizards, away
// from every name, that no sound record was written to.
func (r *recorder) quietSquare() orb.Point {
	best, most := orb.Point{}, -1
	count := map[orb.Point]int{}
	for i, occupied := range r.truthOf(speciesNamed("common_lizard")).Occupied {
		if occupied {
			count[squareOf(r.ground.at(i), 1000)]++
		}
	}
	for x := r.ground.d.Grid.West + 1500; x < r.ground.d.Grid.West+land.Cols*land.Cell-1000; x += 1000 {
		for y := r.ground.d.Grid.North - 1500; y > r.ground.d.Grid.North-land.Rows*land.Cell+1000; y -= 1000 {
			at := squareOf(orb.Point{x, y}, 1000)
			i, ok := r.cellOf(at)
			quiet := ok && !r.nearPlace(at, 600) && r.spots[at] == 0 && r.ground.d.Cover[i] != land.OpenWater
			if quiet && r.documented(speciesNamed("slow_worm"), at) == 0 && count[at] > most {
				best, most = at, count[at]
			}
		}
	}
	return best
}

// plantUnstated leaves out how well a place is known.
func (r *recorder) plantUnstated() {
	for _, id := range [...]string{"adder", "smooth_newt"} {
		d := r.fresh(id)
		d.Uncertainty, d.Precision = 0, ""
		r.plant(d, Unstated, "nobody says how well the place is known")
	}
}

// plantDrowned puts land animals far out into open water.
func (r *recorder) plantDrowned() {
	taken := orb.Point{}
	for _, id := range [...]string{"common_lizard", "slow_worm"} {
		d := r.fresh(id)
		at, off := r.deepWater(d.Species, taken)
		d.At, d.Uncertainty, taken = orb.Point{at[0] + 3, at[1] - 2}, 10, at
		r.plant(d, Drowned, "%d m from the shore of open water", int(off))
	}
}

// deepWater is the middle of the widest water in a species' range, away from
// water that is taken, and how far the land is.
func (r *recorder) deepWater(s *Species, taken orb.Point) (best orb.Point, off float64) {
	for i, away := range r.shore.at {
		at := r.ground.at(i)
		if float64(away) > off && apart(at, taken) > 400 && !r.nearEdge(at) && !r.nearPlace(at, 150) && r.documented(s, at) == 0 {
			best, off = at, float64(away)
		}
	}
	return best, off
}

// plantOffSeason gives sightings a day on which the animal is not about.
func (r *recorder) plantOffSeason() {
	for _, c := range [...]struct {
		id  string
		day time.Time
	}{{"adder", date(2019, 12, 17)}, {"sand_lizard", date(2022, 1, 23)}} {
		d := r.fresh(c.id)
		d.Day, d.Stage, d.Remarks = c.day, "adult", ""
		_, week := c.day.ISOWeek()
		r.plant(d, OffSeason, "week %d; it is about in weeks %d to %d", week, d.Species.weeks[0], d.Species.weeks[1])
	}
}

func date(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// plantMisnamed names an animal after its rarer look-alike, far outside that
// one's range: a smooth snake east of the river, where there is none, and a great
// crested newt in the west.
func (r *recorder) plantMisnamed() {
	east := r.ground.eastOfRiver()
	for _, c := range [...]struct {
		id    string
		truly []string // the first that lives there
		where area
	}{
		{"smooth_snake", []string{"adder", "slow_worm"}, east},
		{"great_crested_newt", []string{"smooth_newt", "common_lizard"}, area(whole).but(east)},
	} {
		named := speciesNamed(c.id)
		d := r.farthest(named, c.truly, c.where)
		truly := d.Species.Common
		d.Species, d.Remarks, d.Count, d.Stage = named, "", 1, "adult"
		r.plant(d, Misnamed, "truly %s; %.1f km outside the documented range of the %s", plainName(truly), r.documented(named, d.At)/1000, plainName(named.Common))
	}
}

// farthest is a sighting far outside a species' range, of the first of some
// others that lives in an area, on a day on which the first is about too.
func (r *recorder) farthest(from *Species, of []string, where area) Record {
	for _, id := range of {
		other := speciesNamed(id)
		for k, i := range r.farCells(from, other, where) {
			for range 20 {
				d := r.written(other, r.within(i))
				if d.Decimals == 5 && from.inSeason(d.Day) && r.isSound(d) && r.documented(other, d.At) == 0 && (k > 5 || r.rng.Float64() < 0.1) {
					return d
				}
			}
		}
	}
	return r.fresh(of[len(of)-1])
}

// farCells are some hundreds of the cells of an area in which a species lives,
// those farthest from another's range first.
func (r *recorder) farCells(from, other *Species, where area) []int {
	away := map[int]float64{}
	var cells []int
	for i, occupied := range r.truthOf(other).Occupied {
		if occupied && where(i) {
			cells = append(cells, i)
		}
	}
	r.rng.Shuffle(len(cells), func(i, j int) { cells[i], cells[j] = cells[j], cells[i] })
	cells = cells[:min(len(cells), 400)]
	for _, i := range cells {
		away[i] = r.documented(from, r.ground.at(i))
	}
	slices.SortStableFunc(cells, func(a, b int) int { return cmp.Compare(away[b], away[a]) })
	return cells
}

// plainName is a common name within a sentence.
func plainName(name string) string { return string(name[0]|0x20) + name[1:] }

// plantDays gives records days that cannot be, or stand for another.
func (r *recorder) plantDays() {
	d := r.fresh("common_lizard")
	d.Day, d.Stage, d.Remarks = date(2013, 1, 1), "", ""
	r.plant(d, DefaultDay, "1 January stands for an unknown day of 2013")
	d = r.fresh("grass_snake")
	d.Day, d.Remarks = date(2026, 6, 21), ""
	r.plant(d, Future, "after the day of the collection, 1 June 2026")
}

// plantZero loses a place.
func (r *recorder) plantZero() {
	d := r.plant(r.fresh("common_toad"), Zero, "0, 0 stands for an unknown place")
	d.latitude, d.longitude = "0", "0"
}

// plantGeneralised blurs a place, as a scheme does that passes on a sensitive
// record.
func (r *recorder) plantGeneralised() {
	const step = 0.1
	d := r.fresh("natterjack")
	xs, ys := []float64{d.At[0]}, []float64{d.At[1]}
	r.toDegrees(xs, ys)
	d.Decimals, d.Precision, d.Uncertainty = 1, "0.1", stepUncertainty(step, ys[0])
	d.Generalised = "place rounded to 0.1 degree by the scheme that passed it on, because the species is sensitive"
	d.Withheld = "the exact place is withheld; ask the scheme"
	d.Remarks = ""
	r.plant(d, Generalised, "blurred to 0.1 degree before it was handed over")
}

// plantRepeated sends two sound sightings in again: one word for word, one a few
// metres off.
func (r *recorder) plantRepeated(sound int) {
	for k, shift := range [...]float64{0, 8} {
		d := r.drawn[r.singleSighting(sound, k)]
		first := d.ID
		d.At[0] += shift
		d.Remarks = "entered from the paper form"
		d.Withheld = first // until the identifiers are known
		r.plant(d, Repeated, "").Words = "the same sighting as "
	}
}

// singleSighting is a sound record from a receiver, in the first or the second
// half of all.
func (r *recorder) singleSighting(sound, half int) int {
	for {
		i := (half*sound + r.rng.IntN(sound)) / 2
		if d := r.drawn[i]; d.Decimals == 5 && !d.old && d.Uncertainty >= 10 {
			return i
		}
	}
}
