package life

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/land"
)

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
