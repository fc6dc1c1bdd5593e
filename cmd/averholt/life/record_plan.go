package life

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// drawByPlan draws each species' records, the rarest first. Somebody is so many
// times as likely to be near roads and gardens that seven records in ten are;
// how many of a species are follows from where it lives. What a species cannot
// give, others make up.
func (r *recorder) drawByPlan() {
	order := slices.Clone(allSpecies)
	slices.SortStableFunc(order, func(a, b Species) int { return a.records - b.records })
	near, left, planned := int(math.Round(nearShare*soundRecords)), soundRecords-len(r.drawn), 0
	for _, d := range r.drawn {
		if r.isNear(d.At) {
			near--
		}
	}
	for _, s := range order {
		planned += s.records
	}
	pull := r.pull(order, float64(near)/float64(left))
	for i, s := range order {
		n := int(math.Round(float64(left) * float64(s.records) / float64(planned)))
		wanted := int(math.Round(float64(n) * r.nearChance(speciesNamed(s.ID), pull)))
		if i == len(order)-1 {
			n, wanted = left, near
		}
		made, madeNear := r.drawSpecies(speciesNamed(s.ID), n, min(wanted, near))
		near, left, planned = near-madeNear, left-made, planned-s.records
	}
}

// nearChance is the share of a species' records near people, where somebody is
// pull times as likely to be.
func (r *recorder) nearChance(s *Species, pull float64) float64 {
	near, far := float64(len(r.cellsOf(s, true).cells)), float64(len(r.cellsOf(s, false).cells))
	return pull * near / max(pull*near+far, 1)
}

// pull is how many times as likely somebody is near people for a share of all
// records to be there.
func (r *recorder) pull(order []Species, share float64) float64 {
	low, high := 0.01, 100.0
	for range 40 {
		mid, sum, all := math.Sqrt(low*high), 0.0, 0.0
		for _, s := range order {
			sum += float64(s.records) * r.nearChance(speciesNamed(s.ID), mid)
			all += float64(s.records)
		}
		if sum < share*all {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// drawSpecies draws n records, of which so many near people, and says how many
// it could make and how many came out near.
func (r *recorder) drawSpecies(s *Species, n, wanted int) (made, near int) {
	sides := [2]*cellDraw{r.cellsOf(s, false), r.cellsOf(s, true)}
	for k := range n {
		side := 0
		if k < wanted {
			side = 1
		}
		d, ok := r.drawSound(s, sides[side], side == 1)
		if !ok {
			d, ok = r.drawSound(s, sides[1-side], side == 0)
		}
		if !ok {
			break
		}
		if r.isNear(d.At) {
			near++
		}
		r.keep(d)
		made++
	}
	return made, near
}

// isNear tells whether a point lies near a road or a garden.
func (l *Life) isNear(p orb.Point) bool {
	i, ok := l.cellOf(p)
	return ok && float64(l.people.at[i]) <= nearPeople
}

// drawOutside draws the few honest records just beyond a range as it was drawn.
func (r *recorder) drawOutside() {
	for _, id := range [honestOutside]string{"adder", "great_crested_newt", "sand_lizard"} {
		s := speciesNamed(id)
		for _, near := range [2]bool{true, false} {
			if d, ok := r.drawBeyond(s, r.cellsOf(s, near)); ok {
				r.keep(d)
				break
			}
		}
	}
}

func (r *recorder) drawBeyond(s *Species, from *cellDraw) (Record, bool) {
	for _, k := range r.rng.Perm(len(from.cells)) {
		p := r.within(from.cells[k])
		if away := r.documented(s, p); away == 0 || away > justOutside {
			continue
		}
		d := r.written(s, p)
		if away := r.documented(s, d.At); away > 0 && away <= justOutside && d.Uncertainty <= 30 && r.isSound(d) {
			return d, true
		}
	}
	return Record{}, false
}
