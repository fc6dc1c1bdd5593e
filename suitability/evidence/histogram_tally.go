package evidence

import (
	"slices"
	"sort"
)

// tally is all that ranks need: the distinct values, rising, and how many
// presences and how many background cells (or absences) hold each. Every figure
// of discrimination in this package is computed from it, whether it came from
// sorted values or from a stream, so the two paths cannot differ.
type tally struct {
	values     []float64
	presence   []int64
	background []int64

	// presenceTo[i] and backgroundTo[i] are the sums before value i; the last
	// ones are the totals.
	presenceTo   []int64
	backgroundTo []int64
}

// tallyOf sorts copies of both: O(n log n).
func tallyOf(presence, background []float64) (*tally, error) {
	if err := known("presence", presence); err != nil {
		return nil, err
	}
	if err := known("background value", background); err != nil {
		return nil, err
	}
	p, b := slices.Clone(presence), slices.Clone(background)
	slices.Sort(p)
	slices.Sort(b)
	t := &tally{}
	for len(p) > 0 || len(b) > 0 {
		v := least(p, b)
		np, nb := runOf(p, v), runOf(b, v)
		t.add(v, int64(np), int64(nb))
		p, b = p[np:], b[nb:]
	}
	return t.summed(), nil
}

func least(p, b []float64) float64 {
	switch {
	case len(p) == 0:
		return b[0]
	case len(b) == 0:
		return p[0]
	}
	return min(p[0], b[0])
}

// runOf is how many of the leading values equal v.
func runOf(sorted []float64, v float64) int {
	n := 0
	for n < len(sorted) && sorted[n] == v {
		n++
	}
	return n
}

func (t *tally) add(v float64, presence, background int64) {
	t.values = append(t.values, v)
	t.presence = append(t.presence, presence)
	t.background = append(t.background, background)
}

func (t *tally) summed() *tally {
	t.presenceTo, t.backgroundTo = running(t.presence), running(t.background)
	return t
}

func running(counts []int64) []int64 {
	sums := make([]int64, len(counts)+1)
	for i, n := range counts {
		sums[i+1] = sums[i] + n
	}
	return sums
}

// totals are the numbers of presences and of background cells.
func (t *tally) totals() (presences, background int64) {
	return t.presenceTo[len(t.values)], t.backgroundTo[len(t.values)]
}

// both is an error where either side is empty.
func (t *tally) both() error {
	if m, n := t.totals(); m == 0 || n == 0 {
		return undefined("%d presences against %d others", m, n)
	}
	return nil
}

// below is the index of the first value that is at least v.
func (t *tally) below(v float64) int { return sort.SearchFloat64s(t.values, v) }

// upTo is the index of the first value that is greater than v.
func (t *tally) upTo(v float64) int {
	return sort.Search(len(t.values), func(i int) bool { return t.values[i] > v })
}

// within counts what lies in the closed interval from low to high.
func (t *tally) within(low, high float64) (presences, background int64) {
	from, to := t.below(low), t.upTo(high)
	if to < from {
		return 0, 0
	}
	return t.presenceTo[to] - t.presenceTo[from], t.backgroundTo[to] - t.backgroundTo[from]
}

// observed is the range of all values.
func (t *tally) observed() (low, high float64) {
	return t.values[0], t.values[len(t.values)-1]
}
