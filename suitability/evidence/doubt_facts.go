package evidence

import (
	"cmp"
	"fmt"
	"slices"

	"tussock/suitability"
)

// DoubtFacts are what the draws say of a whole map. Shares are of the cells that
// have a suitability by the profile: shown, assessed and not excluded. Nil is
// undefined: there are no such cells, or nothing varied.
type DoubtFacts struct {
	Draws  int                    `json:"draws"`
	Seed   uint64                 `json:"seed"`
	Cells  uint64                 `json:"cells"`
	Source map[string]SourceDoubt `json:"by_source"` // weights, curves, rule, and all
	// Interaction is the mean variance with all varied over the sum of those with
	// one varied at a time: 1 where sources simply add up.
	Interaction *float64            `json:"all_over_sum"`
	Stability   *float64            `json:"mean_stability"`
	Sure        *float64            `json:"share_with_stability_1"`
	Worded      *float64            `json:"share_with_stability_60_percent"`
	Dominant    map[string]*float64 `json:"share_by_dominant_source"`
	Changes     []ChangeShare       `json:"single_changes"` // those that hold somewhere, the most frequent first
	Caveat      string              `json:"caveat"`
}

// SourceDoubt is what one source does alone, or all do together.
type SourceDoubt struct {
	Varied   bool     `json:"varied"`
	Variance *float64 `json:"mean_variance"`
	Share    *float64 `json:"share_of_variance,omitempty"` // of the sum of the three sources
	Spread   *float64 `json:"mean_standard_deviation"`
	// Moved is the share of cells that lie in another class than stated in at least
	// a quarter of the draws.
	Moved *float64 `json:"share_moved_in_a_quarter_of_draws"`
}

// ChangeShare is how many cells a single change would move.
type ChangeShare struct {
	Change string  `json:"change"`
	Share  float64 `json:"share"`
}

// doubtCaveat says what variance shares cannot. The published case is Johnson and
// Gillingham 2004, Journal of Applied Ecology 41:1032-1041.
const doubtCaveat = "The spreads drawn from are assumptions, and the shares follow them. Structure (the rule, then the curves) usually weighs more than weights: " +
	"a run that varies weights alone is falsely reassuring. Shares are of one source varied at a time and leave out what sources do together, " +
	"and nothing here is about layers, records or places where the model itself is wrong."

// facts sums up the notes: see [suitability.Companion].
func (j *doubting) facts(notes [][]byte) (any, error) {
	n, err := j.joinNotes(notes)
	if err != nil {
		return nil, err
	}
	share := func(of float64) *float64 { return partOf(of, float64(n.Cells)) }
	f := DoubtFacts{
		Draws: j.doubt.Draws, Seed: j.doubt.Seed, Cells: n.Cells, Source: map[string]SourceDoubt{}, Dominant: map[string]*float64{}, Caveat: doubtCaveat,
		Stability: partOf(float64(n.Stable), float64(n.Cells)*float64(j.doubt.Draws)), Sure: share(float64(n.Sure)), Worded: share(float64(n.Worded)),
	}
	sum := 0.0
	for k := doubtWeights; k < doubtSources; k++ {
		sum += float64(n.Variance[k])
	}
	for k := range doubtSources {
		d := SourceDoubt{Varied: j.doubt.varies(k), Variance: share(float64(n.Variance[k]) / varianceSteps), Spread: share(float64(n.Spread[k]) / spreadSteps), Moved: share(float64(n.Moved[k]))}
		if k != doubtAll {
			d.Share = partOf(float64(n.Variance[k]), sum)
		}
		f.Source[doubtNames[k]] = d
		f.Dominant[dominantNames[k]] = share(float64(n.Dominant[k]))
	}
	f.Interaction = partOf(float64(n.Variance[doubtAll]), sum)
	f.Changes = j.changeShares(n)
	return f, nil
}

var dominantNames = [...]string{"none", "weights", "curves", "rule"}

// partOf is nil where there is nothing to divide by.
func partOf(a, b float64) *float64 {
	if b == 0 {
		return nil
	}
	q := a / b
	return &q
}

func (j *doubting) changeShares(n doubtNote) []ChangeShare {
	var list []ChangeShare
	for code, words := range j.changes() {
		if n.Change[code] > 0 {
			list = append(list, ChangeShare{words, float64(n.Change[code]) / float64(n.Cells)})
		}
	}
	slices.SortStableFunc(list, func(a, b ChangeShare) int { return cmp.Compare(b.Share, a.Share) })
	return list
}

// changes are the words for the codes of single changes.
func (j *doubting) changes() []string {
	list := []string{"no single change of those tried"}
	names, criteria := ratingNames(j.profile), len(j.ratings)-len(j.profile.Multipliers)
	for i, name := range names {
		what := name + " rated"
		if i >= criteria {
			what = "factor " + name
		}
		list = append(list, what+" higher", what+" lower")
	}
	for kind := range suitability.Minimum + 1 {
		list = append(list, fmt.Sprintf("rule %v", kind))
	}
	return list
}

// ratingNames are the profile's criteria, by requisite, and its multipliers.
func ratingNames(p *suitability.Profile) []string {
	var list []string
	for _, q := range p.Requisites {
		for _, c := range q.Criteria {
			list = append(list, q.ID+"/"+c.ID)
		}
	}
	for _, m := range p.Multipliers {
		list = append(list, m.ID)
	}
	return list
}
