package evidence

import (
	"fmt"
	"math"
)

// MostCompared is the greatest number of items that can be compared in pairs:
// Saaty's random index is known up to there.
const MostCompared = 15

// Pairwise is a matrix of comparisons: [i][j] is how many times as much item i
// counts as item j, and [j][i] is 1 over that.
type Pairwise [][]float64

// NewPairwise is a matrix in which all n items count the same.
func NewPairwise(n int) Pairwise {
	p := make(Pairwise, n)
	for i := range p {
		p[i] = make([]float64, n)
		for j := range p[i] {
			p[i][j] = 1
		}
	}
	return p
}

// Set says that item i counts so many times as much as item j.
func (p Pairwise) Set(i, j int, times float64) { p[i][j], p[j][i] = times, 1/times }

// reciprocalTolerance is how far a_ij·a_ji may be from 1: rounding, no more.
const reciprocalTolerance = 1e-9

// Check tests that the matrix is square, positive and reciprocal, with ones on
// its diagonal. Rows and columns count from 1 in what it says.
func (p Pairwise) Check() error {
	if len(p) == 0 || len(p) > MostCompared {
		return fmt.Errorf("%d items cannot be compared in pairs: 1 to %d can", len(p), MostCompared)
	}
	for i, row := range p {
		if len(row) != len(p) {
			return fmt.Errorf("row %d of %d comparisons has %d", i+1, len(p), len(row))
		}
	}
	for i, row := range p {
		for j, a := range row {
			switch {
			case !(a > 0) || math.IsInf(a, 1):
				return fmt.Errorf("row %d, column %d: %g is not how many times something counts", i+1, j+1, a)
			case i == j && a != 1:
				return fmt.Errorf("row %d, column %d: an item counts once as much as itself, not %g times", i+1, j+1, a)
			case math.Abs(a*p[j][i]-1) > reciprocalTolerance:
				return fmt.Errorf("row %d, column %d: %g is not 1 over %g, which is said the other way round", i+1, j+1, a, p[j][i])
			}
		}
	}
	return nil
}

// Weigh gives the principal eigenvector, scaled to sum 1, and how consistent the
// comparisons are. Saaty TL (1980) The Analytic Hierarchy Process, McGraw-Hill.
func (p Pairwise) Weigh() ([]float64, Consistency, error) {
	if err := p.Check(); err != nil {
		return nil, Consistency{}, err
	}
	weights, lambda := principal(p)
	return weights, p.consistency(lambda), nil
}

// meanMatrix is the geometric mean of several matrices, comparison by comparison:
// the only mean that leaves the result reciprocal. Aczél J, Saaty TL (1983)
// Procedures for synthesizing ratio judgements, Journal of Mathematical
// Psychology 27:93-102 (from memory).
func meanMatrix(matrices []Pairwise) Pairwise {
	mean := NewPairwise(len(matrices[0]))
	for i := range mean {
		for j := i + 1; j < len(mean); j++ {
			sum := 0.0
			for _, m := range matrices {
				sum += math.Log(m[i][j])
			}
			mean.Set(i, j, math.Exp(sum/float64(len(matrices))))
		}
	}
	return mean
}

// FromComparisons weighs items by comparisons in pairs. Experts are judged each
// on their own and put together by the geometric mean of their comparisons; the
// spread is the least and the greatest weight that any of them comes to. Above
// a ratio of 0.10 a warning names what to look at again.
func FromComparisons(items []string, experts []By[Pairwise]) (*Weighing, error) {
	w, err := fromExperts(items, experts, func(p Pairwise) (Opinion, error) {
		weights, c, err := p.Weigh()
		return Opinion{Spans: exactSpans(weights), Consistency: &c}, err
	})
	if err != nil {
		return nil, err
	}
	matrices := make([]Pairwise, len(experts))
	for i, e := range experts {
		matrices[i] = e.Says
		w.warnInconsistent("expert "+e.Expert, w.Opinions[i].Consistency)
	}
	weights, c, err := meanMatrix(matrices).Weigh()
	if err != nil {
		return nil, fmt.Errorf("evidence: the experts together: %w", err)
	}
	w.Spans, w.Consistency = exactSpans(weights), &c
	if w.between(); len(experts) > 1 {
		w.warnInconsistent("the experts together", &c)
	}
	return w, nil
}
