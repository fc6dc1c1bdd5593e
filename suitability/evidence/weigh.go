package evidence

import (
	"fmt"
	"slices"
)

// ConsistencyNote stands beside every consistency ratio that is shown.
const ConsistencyNote = "Consistency is not correctness: a low ratio says that the answers agree with one another, not that they are true. Only records and visits can tell."

// AgreementNote stands beside weights that nobody compared in pairs.
const AgreementNote = "Agreement is not correctness: experts who share a view can share a mistake. Only records and visits can tell."

// Span is a weight with its doubt: an interval that holds the truth in 8 cases
// of 10, as far as those who judged know themselves; or, where no interval was
// asked for, the least and the greatest that any of several experts gave.
type Span struct {
	Low, Best, High float64
}

// By is what one expert said. Experts are known by a code.
type By[T any] struct {
	Expert string
	Says   T
}

// Opinion is one expert's weights: the best sum to 1.
type Opinion struct {
	Expert      string
	Spans       []Span
	HasSpread   bool         // whether the expert gave intervals
	Consistency *Consistency // of comparisons only
}

// Weighing is a set of weights with all that is known of them.
type Weighing struct {
	Items       []string
	Spans       []Span       // of all experts together; the best sum to 1
	HasSpread   bool         // false for one expert without intervals: low and high then say nothing
	Consistency *Consistency // of the experts' comparisons together
	Opinions    []Opinion
	Warnings    []string
}

// Weights are the weights alone; they sum to 1.
func (w *Weighing) Weights() []float64 { return spanBests(w.Spans) }

func spanBests(spans []Span) []float64 {
	weights := make([]float64, len(spans))
	for i, s := range spans {
		weights[i] = s.Best
	}
	return weights
}

// fromExperts makes each expert's opinion and names the one whose answers cannot
// be used.
func fromExperts[T any](items []string, experts []By[T], opinion func(T) (Opinion, error)) (*Weighing, error) {
	if len(items) == 0 {
		return nil, fmt.Errorf("evidence: there is nothing to weigh")
	}
	if len(experts) == 0 {
		return nil, fmt.Errorf("evidence: nobody was asked")
	}
	w := &Weighing{Items: slices.Clone(items)}
	for _, e := range experts {
		o, err := opinion(e.Says)
		if err == nil && len(o.Spans) != len(items) {
			err = fmt.Errorf("%d weights for %d items", len(o.Spans), len(items))
		}
		if err != nil {
			return nil, fmt.Errorf("evidence: expert %s: %w", e.Expert, err)
		}
		o.Expert = e.Expert
		w.Opinions = append(w.Opinions, o)
	}
	return w, nil
}

// between sets each item's span to the least and greatest of the experts', where
// there are several.
func (w *Weighing) between() {
	w.HasSpread = len(w.Opinions) > 1
	for i := range w.Spans {
		s := &w.Spans[i]
		s.Low, s.High = s.Best, s.Best
		for _, o := range w.Opinions {
			s.Low, s.High = min(s.Low, o.Spans[i].Best), max(s.High, o.Spans[i].Best)
		}
	}
}

// exactSpans are spans without any width.
func exactSpans(weights []float64) []Span {
	spans := make([]Span, len(weights))
	for i, w := range weights {
		spans[i] = Span{w, w, w}
	}
	return spans
}

// totalSpans is the sum of the best.
func totalSpans(spans []Span) float64 {
	sum := 0.0
	for _, s := range spans {
		sum += s.Best
	}
	return sum
}

// scaledSpans divides spans so that the best sum to 1. An interval keeps its width
// relative to its best; no share of a whole goes below 0 or beyond 1.
func scaledSpans(spans []Span) []Span {
	sum := totalSpans(spans)
	out := make([]Span, len(spans))
	for i, s := range spans {
		out[i] = Span{max(s.Low/sum, 0), s.Best / sum, min(s.High/sum, 1)}
	}
	return out
}
