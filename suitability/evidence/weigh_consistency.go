package evidence

import (
	"fmt"
	"math"
)

// HighestRatio is the consistency ratio above which comparisons should be looked
// at again (Saaty 1980).
const HighestRatio = 0.10

// randomIndex is the mean consistency index of random reciprocal matrices, by
// number of items: Saaty TL (1980) The Analytic Hierarchy Process. That the
// value for 12 is less than that for 11 stands there.
var randomIndex = [MostCompared + 1]float64{3: 0.58, 0.90, 1.12, 1.24, 1.32, 1.41, 1.45, 1.49, 1.51, 1.48, 1.56, 1.57, 1.59}

// Consistency says how far comparisons agree with one another:
//
//	Index = (λmax − n) / (n − 1),  Ratio = Index / random index
//
// Two items cannot disagree, so that fewer than three have no ratio.
type Consistency struct {
	Lambda float64 // the principal eigenvalue; n where all comparisons agree
	Index  float64
	Ratio  float64
	Judged bool // whether there is a ratio: three items or more

	Worst *Triple // the three comparisons that agree least; nil for fewer than three items
}

// TooHigh tells whether the comparisons should be looked at again.
func (c Consistency) TooHigh() bool { return c.Judged && c.Ratio > HighestRatio }

func (p Pairwise) consistency(lambda float64) Consistency {
	n := len(p)
	c := Consistency{Lambda: lambda, Judged: n > 2}
	if !c.Judged {
		return c
	}
	c.Index = max(0, lambda-float64(n)) / float64(n-1) // λ is never below n but for rounding
	c.Ratio = c.Index / randomIndex[n]
	c.Worst = p.worstTriple()
	return c
}

// Triple is three items whose comparisons, taken in a circle, should multiply to
// 1: a_ij·a_jk·a_ki. It runs in the direction in which they come to more.
type Triple struct {
	Items [3]int
	Steps [3]float64 // a_ij, a_jk, a_ki
	Cycle float64    // their product, 1 or more

	Again [2]int  // the comparison to look at again
	Said  float64 // how many times as much the first of the two was said to count
	Rest  float64 // and how many times by all the other comparisons
}

// worstTriple is the triple whose product is farthest from 1.
func (p Pairwise) worstTriple() *Triple {
	var worst *Triple
	for i := range p {
		for j := i + 1; j < len(p); j++ {
			for k := j + 1; k < len(p); k++ {
				if t := p.triple(i, j, k); worst == nil || t.Cycle > worst.Cycle*(1+1e-12) {
					worst = t
				}
			}
		}
	}
	if worst != nil {
		p.lookAgain(worst)
	}
	return worst
}

func (p Pairwise) triple(i, j, k int) *Triple {
	t := &Triple{Items: [3]int{i, j, k}, Steps: [3]float64{p[i][j], p[j][k], p[k][i]}}
	if t.Cycle = t.Steps[0] * t.Steps[1] * t.Steps[2]; t.Cycle < 1 {
		t = &Triple{Items: [3]int{i, k, j}, Steps: [3]float64{p[i][k], p[k][j], p[j][i]}}
		t.Cycle = t.Steps[0] * t.Steps[1] * t.Steps[2]
	}
	return t
}

// lookAgain finds the comparison of a triple that is farthest, as a ratio, from
// what all the others say. Among three items alone each is as far as the others;
// the one that says the most is named then, being the boldest (our own choice).
func (p Pairwise) lookAgain(t *Triple) {
	farthest, boldest := -1.0, -1.0
	for s := range t.Steps {
		i, j := t.Items[s], t.Items[(s+1)%3]
		rest := p.without(i, j)
		far, bold := math.Abs(math.Log(p[i][j]/rest)), math.Abs(math.Log(p[i][j]))
		if far > farthest+1e-9 || far > farthest-1e-9 && bold > boldest+1e-9 {
			farthest, boldest = far, bold
			t.Again, t.Said, t.Rest = [2]int{i, j}, p[i][j], rest
		}
	}
}

// without is how many times item i counts as much as item j by all comparisons
// but their own: 0 in its two places and 2 in theirs on the diagonal. Harker PT
// (1987) Incomplete pairwise comparisons in the analytic hierarchy process,
// Mathematical Modelling 9:837-848 (from memory).
func (p Pairwise) without(i, j int) float64 {
	a := make([][]float64, len(p))
	for r := range p {
		a[r] = append([]float64(nil), p[r]...)
	}
	a[i][j], a[j][i], a[i][i], a[j][j] = 0, 0, 2, 2
	weights, _ := principal(a)
	return weights[i] / weights[j]
}

// warnInconsistent says what to look at again where the ratio is too high.
func (w *Weighing) warnInconsistent(who string, c *Consistency) {
	if !c.TooHigh() {
		return
	}
	t := c.Worst
	name := func(i int) string { return w.Items[i] }
	w.Warnings = append(w.Warnings, fmt.Sprintf(
		"%s: consistency ratio %.3f is above %.2f. Farthest apart are %s, %s and %s: %s times %s times %s makes %s round the circle, where 1 would agree. Look again at %s against %s: %s times was said, the other comparisons say %s.",
		who, c.Ratio, HighestRatio, name(t.Items[0]), name(t.Items[1]), name(t.Items[2]),
		timesText(t.Steps[0]), timesText(t.Steps[1]), timesText(t.Steps[2]), timesText(t.Cycle),
		name(t.Again[0]), name(t.Again[1]), timesText(t.Said), timesText(t.Rest)))
}

// timesText shows a ratio as people judge it: 3, 1/3, 2.4.
func timesText(ratio float64) string {
	if inverse := math.Round(1 / ratio); ratio < 1 && math.Abs(ratio*inverse-1) < 1e-6 {
		return fmt.Sprintf("1/%.0f", inverse)
	}
	return fmt.Sprintf("%.3g", ratio)
}
