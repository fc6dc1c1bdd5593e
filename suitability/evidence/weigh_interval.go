package evidence

import (
	"fmt"
	"math"
)

// FourStep is one answer to the four questions of the IDEA protocol: the lowest
// it could plausibly be, the highest, the best guess, and how sure the expert is
// that the truth lies between, in per cent. Any unit will do, as long as it is
// the same for all items of one expert. Hemming V, Burgman MA, Hanea AM, McBride
// MF, Wintle BC (2018) A practical guide to structured expert elicitation using
// the IDEA protocol, Methods in Ecology and Evolution 9:169-180.
type FourStep struct {
	Lowest, Highest, Best float64
	Confidence            float64 // per cent, 50 to 100
}

// StandardConfidence is the confidence, in per cent, that all intervals are
// rescaled to before they are put together.
const StandardConfidence = 80

// Check tests that the four answers fit one another.
func (f FourStep) Check() error {
	for _, v := range []float64{f.Lowest, f.Highest, f.Best, f.Confidence} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%g is not a usable number", v)
		}
	}
	switch {
	case f.Lowest < 0:
		return fmt.Errorf("the lowest is %g: a weight cannot be below 0", f.Lowest)
	case f.Lowest > f.Best || f.Best > f.Highest:
		return fmt.Errorf("lowest %g, best %g, highest %g do not rise", f.Lowest, f.Best, f.Highest)
	case f.Confidence < 50 || f.Confidence > 100:
		return fmt.Errorf("confidence %g %% is not from 50 to 100", f.Confidence)
	}
	return nil
}

// Rescaled is the interval of 80 % that follows by straight proportion:
//
//	low = best − (best − lowest)·80/confidence, high = best + (highest − best)·80/confidence
//
// A low below 0 becomes 0.
func (f FourStep) Rescaled() Span {
	stretch := StandardConfidence / f.Confidence
	return Span{max(0, f.Best-(f.Best-f.Lowest)*stretch), f.Best, f.Best + (f.Highest-f.Best)*stretch}
}

// FromIntervals weighs items by experts' four-step answers. Each expert's
// answers are rescaled to 80 % and divided by the sum of their best guesses, so
// that every expert counts the same; see [PoolSpans] for how they are put
// together. The pooled best sum to 1.
func FromIntervals(items []string, experts []By[[]FourStep]) (*Weighing, error) {
	w, err := fromExperts(items, experts, func(answers []FourStep) (Opinion, error) { return opinionOf(items, answers) })
	if err != nil {
		return nil, err
	}
	for i := range items {
		var said []Span
		for _, o := range w.Opinions {
			said = append(said, o.Spans[i])
		}
		w.Spans = append(w.Spans, PoolSpans(said))
	}
	w.Spans, w.HasSpread = scaledSpans(w.Spans), true
	return w, nil
}

func opinionOf(items []string, answers []FourStep) (Opinion, error) {
	o := Opinion{HasSpread: true}
	for i, f := range answers {
		if err := f.Check(); err != nil {
			return o, fmt.Errorf("%s: %w", itemName(items, i), err)
		}
		o.Spans = append(o.Spans, f.Rescaled())
	}
	if len(answers) > 0 && !(totalSpans(o.Spans) > 0) {
		return o, fmt.Errorf("every best guess is 0")
	}
	o.Spans = scaledSpans(o.Spans)
	return o, nil
}

func itemName(items []string, i int) string {
	if i < len(items) {
		return items[i]
	}
	return fmt.Sprintf("item %d", i+1)
}
