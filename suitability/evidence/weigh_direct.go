package evidence

import (
	"fmt"
	"math"
)

// FromWeights takes weights as experts give them, in any unit: each expert's are
// divided by their sum, and the mean is taken with every expert counting the
// same. The spread is the least and the greatest that any of several gave.
func FromWeights(items []string, experts []By[[]float64]) (*Weighing, error) {
	w, err := fromExperts(items, experts, func(weights []float64) (Opinion, error) {
		if err := checkDirect(items, weights); err != nil {
			return Opinion{}, err
		}
		return Opinion{Spans: scaledSpans(exactSpans(weights))}, nil
	})
	if err != nil {
		return nil, err
	}
	mean := make([]float64, len(items))
	for _, o := range w.Opinions {
		for i, s := range o.Spans {
			mean[i] += s.Best
		}
	}
	w.Spans = scaledSpans(exactSpans(mean))
	w.between()
	return w, nil
}

func checkDirect(items []string, weights []float64) error {
	sum := 0.0
	for i, v := range weights {
		if !(v >= 0) || math.IsInf(v, 1) {
			return fmt.Errorf("%s: %g is no weight", itemName(items, i), v)
		}
		sum += v
	}
	if len(weights) > 0 && !(sum > 0 && !math.IsInf(sum, 1)) {
		return fmt.Errorf("the weights sum to %g", sum)
	}
	return nil
}
