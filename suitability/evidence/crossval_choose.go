package evidence

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// CrossGain is the gain of one map over another in held-out log likelihood a
// record, with a standard error over blocks, which are what was held out.
type CrossGain struct {
	Mean, SE float64
	Blocks   int
}

// Shown says whether the gain is above 0 at one-sided 95 % by Student's t over
// blocks. Scores of the best of many candidates flatter themselves a little, and
// fits of different folds share records: read it as a screen, not as a proof.
func (g CrossGain) Shown() bool {
	if g.Blocks < 2 || !(g.SE > 0) {
		return false
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(g.Blocks - 1)}
	return g.Mean/g.SE > t.Quantile(.95)
}

// gainOver compares two scores block by block. Its standard error is that of a
// ratio estimate, Σ d / Σ w with d = Δsum and w = weight of a block (Cochran WG
// (1977) Sampling Techniques, section 6.3).
func gainOver(a, b CrossScore) CrossGain {
	var sum, weight, squares float64
	n := len(a.byBlock)
	for k := range a.byBlock {
		sum += a.byBlock[k].sum - b.byBlock[k].sum
		weight += a.byBlock[k].weight
	}
	mean := sum / weight
	for k := range a.byBlock {
		d := a.byBlock[k].sum - b.byBlock[k].sum - mean*a.byBlock[k].weight
		squares += d * d
	}
	return CrossGain{Mean: mean, SE: math.Sqrt(squares*float64(n)/float64(n-1)) / weight, Blocks: n}
}

// chooseScore takes the smallest of the given τ whose best score lies within
// caution standard errors of the best of all.
func chooseScore(scores []CrossScore, taus []float64, caution float64) CrossScore {
	fitted := func(s CrossScore) bool { return s.Kappa > 0 && slices.Contains(taus, s.Tau) }
	best := bestOf(scores, fitted)
	for _, tau := range slices.Sorted(slices.Values(taus)) {
		s := bestOf(scores, func(s CrossScore) bool { return fitted(s) && s.Tau == tau })
		if g := gainOver(best, s); g.Mean <= caution*g.SE {
			return s
		}
	}
	return best
}

func bestOf(scores []CrossScore, among func(CrossScore) bool) CrossScore {
	some := slices.DeleteFunc(slices.Clone(scores), func(s CrossScore) bool { return !among(s) })
	return slices.MaxFunc(some, func(a, b CrossScore) int { return cmp.Compare(a.LogLik, b.LogLik) })
}
