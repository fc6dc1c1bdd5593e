package life

import (
	"fmt"
	"time"
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

// plantUnstated leaves out how well a place is known.
func (r *recorder) plantUnstated() {
	for _, id := range [...]string{"adder", "smooth_newt"} {
		d := r.fresh(id)
		d.Uncertainty, d.Precision = 0, ""
		r.plant(d, Unstated, "nobody says how well the place is known")
	}
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
