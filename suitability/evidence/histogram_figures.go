package evidence

import (
	"fmt"
	"math"
	"slices"
)

// tally gives the cells between two cuts a value between them: which one changes
// no rank.
func (h *Histogram) tally() *tally {
	t := &tally{}
	for i, n := range h.cells {
		var p int64
		if i%2 == 1 {
			p = h.presence[i/2]
		}
		if n > 0 || p > 0 {
			t.add(h.valueOf(i), p, n)
		}
	}
	return t.summed()
}

func (h *Histogram) valueOf(bin int) float64 {
	cut, last := bin/2, len(h.cuts)
	switch {
	case bin%2 == 1:
		return h.cuts[cut]
	case cut == 0:
		return math.Nextafter(h.cuts[0], math.Inf(-1))
	case cut == last:
		return math.Nextafter(h.cuts[last-1], math.Inf(1))
	}
	return h.cuts[cut-1] + (h.cuts[cut]-h.cuts[cut-1])/2
}

// answers is an error where the histogram was not cut at a value that a figure
// needs, and would answer for a neighbour.
func (h *Histogram) answers(what string, needed []float64) error {
	if h.bytes {
		return nil
	}
	for _, v := range needed {
		if _, ok := slices.BinarySearch(h.cuts, v); !ok {
			return fmt.Errorf("evidence: the histogram has no cut at %g for the %s; hint: name it in NewHistogram", v, what)
		}
	}
	return nil
}

// AUC is as the function of that name.
func (h *Histogram) AUC() (AUCResult, error) { return h.tally().auc() }

// Boyce is as the function of that name, for a histogram cut at o.Cuts(). The
// observed domain is known beforehand for bytes alone.
func (h *Histogram) Boyce(o BoyceOptions) (BoyceResult, error) {
	if err := h.answersBoyce(o, o.edges); err != nil {
		return BoyceResult{}, err
	}
	return h.tally().boyce(o)
}

// BoyceSmooth is as the function of that name, for a histogram cut at o.Cuts().
func (h *Histogram) BoyceSmooth(o BoyceOptions) (BoyceResult, error) {
	if err := h.answersBoyce(o, o.steps); err != nil {
		return BoyceResult{}, err
	}
	return h.tally().boyceSmooth(o)
}

func (h *Histogram) answersBoyce(o BoyceOptions, needed func(Domain) []float64) error {
	switch {
	case h.bytes:
		return nil
	case o.Domain == Observed:
		return fmt.Errorf("evidence: the observed range of a stream of floats is not known beforehand; hint: name it in Domain")
	}
	if err := o.Check(); err != nil {
		return err
	}
	return h.answers("windows", needed(o.Domain))
}

// Thresholds is as [AreaThresholds]; a histogram of floats was cut at every
// threshold asked for.
func (h *Histogram) Thresholds(at ...float64) ([]AreaRow, error) {
	if err := h.answers("thresholds", at); err != nil {
		return nil, err
	}
	return h.tally().areaThresholds(at)
}

// Lift is as the function of that name.
func (h *Histogram) Lift(shares ...float64) ([]LiftRow, error) { return h.tally().lift(shares) }
