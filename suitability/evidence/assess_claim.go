package evidence

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	// DefaultResamples is how often blocks are drawn again for an interval.
	DefaultResamples = 500
	// LeastBlocks is the least number of blocks with records that an interval,
	// and a claim, is made from (own choice: an assumption).
	LeastBlocks = 5
)

// Skill is what may be claimed of a map.
type Skill string

// The claims.
const (
	Better     Skill = "better than chance"
	NotShown   Skill = "no skill shown"
	Worse      Skill = "worse than chance"
	TooFew     Skill = "too few to judge"
	NotDefined Skill = "not defined" // every window alike: the map tells no place from another
)

// ClaimRule is when a map is said to be better than chance.
const ClaimRule = "better than chance is said only where at least 15 records in at least 5 blocks judge, the whole 95 % interval of the index (whole blocks drawn again) lies above 0, and no fold that can be judged by itself (15 records) has an index of 0 or less; worse where the whole interval lies below 0"

// Claim is what may be said, by [ClaimRule], and why no more.
type Claim struct {
	Skill Skill
	Why   string // what was in the way of a claim; "" for a claim
}

// claim applies the rule.
func (p *PresenceBackground) claim() Claim {
	x := p.InRange.Index
	switch {
	case errors.Is(x.Err, ErrTooFew):
		return Claim{TooFew, "fewer than 15 records judge"}
	case x.Err != nil:
		return Claim{NotDefined, "the index has no value"}
	case !x.HasInterval:
		return Claim{NotShown, "the records lie in fewer than 5 blocks"}
	case x.High < 0:
		return Claim{Skill: Worse}
	case x.Low <= 0:
		return Claim{NotShown, "the interval of the index holds 0"}
	}
	for _, f := range p.Folds {
		if f.Index.Err == nil && f.Index.Index <= 0 {
			return Claim{NotShown, "a fold has an index of 0 or less"}
		}
	}
	return Claim{Skill: Better}
}

// interval draws blocks with records again, with replacement, as many as there
// are and on until there are [LeastRecords] records, and takes the index of each
// draw by the same method: records of one block are no independent witnesses
// (the block bootstrap; Efron and Tibshirani 1993, An Introduction to the
// Bootstrap, chapter 8, from memory). The interval is from the 2.5th to the
// 97.5th percentile; a draw whose index is undefined counts as 0.
func (a *assessing) interval(x *Index, h *Histogram) {
	blocks := a.valuesByBlock()
	if x.Err != nil || len(blocks) < LeastBlocks {
		return
	}
	random := rand.New(rand.NewPCG(a.options.Seed, drawStream))
	o := boyceOptions(x.Domain)
	var indices []float64
	for range a.options.Draws {
		var values []float64
		for n := 0; n < len(blocks) || len(values) < LeastRecords; n++ {
			values = append(values, blocks[random.IntN(len(blocks))]...)
		}
		index, err := a.drawn(h, x.Method, values, o)
		if err != nil {
			x.Undefined++
		}
		indices = append(indices, index)
	}
	slices.Sort(indices)
	x.Draws, x.HasInterval = len(indices), true
	x.Low, x.High = percentile(indices, 0.025), percentile(indices, 0.975)
}

// drawn is the index of other presences on the same ground, by a method whatever
// their number; 0 where it is undefined.
func (a *assessing) drawn(h *Histogram, method BoyceMethod, values []float64, o BoyceOptions) (float64, error) {
	again := *h
	again.presence = make([]int64, len(h.cuts))
	for _, v := range values {
		again.presence[h.cut(v)]++
	}
	take := again.Boyce
	if method == Smoothed {
		take = again.BoyceSmooth
	}
	r, err := take(o)
	if err != nil {
		return 0, err
	}
	return r.Index, nil
}

// valuesByBlock are the records' values, those of a block together, blocks in
// their order.
func (a *assessing) valuesByBlock() [][]float64 {
	var order []int
	byBlock := map[int][]float64{}
	for i, s := range a.samples {
		if s.Unused == "" && inside(s.InRange) {
			b := a.blocks.At(a.places[i].At)
			byBlock[b] = append(byBlock[b], s.Habitat)
			order = append(order, b)
		}
	}
	slices.Sort(order)
	var list [][]float64
	for _, b := range slices.Compact(order) {
		list = append(list, byBlock[b])
	}
	return list
}

// percentile is the value at q·(n − 1) of sorted values, interpolated (type 7 of
// Hyndman and Fan 1996, The American Statistician 50:361-365).
func percentile(sorted []float64, q float64) float64 {
	at := q * float64(len(sorted)-1)
	low := int(math.Floor(at))
	high := min(low+1, len(sorted)-1)
	return sorted[low] + (sorted[high]-sorted[low])*(at-float64(low))
}
