package evidence

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

var threeItems = []string{"bank", "damp", "cover"}

// Rescaling by hand: an interval of 60 % grows by 80/60, one of 100 % shrinks to
// 8 tenths, and none goes below 0. The formula is that of Hemming et al. (2018).
func TestRescaled(t *testing.T) {
	for _, c := range []struct {
		in   FourStep
		want Span
	}{
		{FourStep{30, 60, 45, 80}, Span{30, 45, 60}},
		{FourStep{30, 60, 45, 60}, Span{25, 45, 65}},
		{FourStep{30, 80, 40, 100}, Span{32, 40, 72}},
		{FourStep{1, 9, 5, 50}, Span{0, 5, 11.4}},
		{FourStep{5, 5, 5, 90}, Span{5, 5, 5}},
	} {
		got := c.in.Rescaled()
		nearWeights(t, "rescaled", []float64{got.Low, got.Best, got.High}, []float64{c.want.Low, c.want.Best, c.want.High}, 1e-12)
	}
}

// One expert's pooled interval is the expert's own; so is that of experts who all
// say the same.
func TestPoolOfOne(t *testing.T) {
	s := Span{0.2, 0.3, 0.55}
	for n := 1; n <= 5; n++ {
		said := make([]Span, n)
		for i := range said {
			said[i] = s
		}
		got := PoolSpans(said)
		nearWeights(t, "pooled", []float64{got.Low, got.Best, got.High}, []float64{.2, .3, .55}, 1e-9)
	}
}

// Pooled tenths against a million draws from the experts' beliefs. Spread is
// kept: two narrow experts who disagree come to a wide interval, which the mean
// of their bounds would not.
func TestPoolAgainstDraws(t *testing.T) {
	const seed, draws = 17, 1_000_000
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	said := []Span{{.10, .12, .16}, {.50, .55, .60}, {.05, .30, .40}}
	pooled := PoolSpans(said)
	low, high := 0, 0
	for range draws {
		s := said[r.IntN(len(said))]
		z := r.NormFloat64() / 1.2815515655446004 // the 90th percentile of the normal distribution
		x := s.Best + z*(s.High-s.Best)
		if z < 0 {
			x = s.Best + z*(s.Best-s.Low)
		}
		if x <= pooled.Low {
			low++
		}
		if x > pooled.High {
			high++
		}
	}
	for _, n := range []int{low, high} {
		if share := float64(n) / draws; math.Abs(share-0.1) > 0.0015 { // five standard errors
			t.Errorf("%.4f of the draws lie outside on one side, not a tenth", share)
		}
	}
	if want := (.12 + .55 + .30) / 3; math.Abs(pooled.Best-want) > 1e-12 {
		t.Errorf("best %g, not the mean %g", pooled.Best, want)
	}
	if apart := PoolSpans([]Span{{.10, .11, .12}, {.50, .51, .52}}); apart.Low > .12 || apart.High < .50 {
		t.Errorf("two experts who disagree come to %+v", apart)
	}
}

// A pooled interval always holds its best, and lies within what was said.
func TestPoolHoldsItsBest(t *testing.T) {
	const seed = 19
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for range 500 {
		said := make([]Span, 1+r.IntN(20))
		least, greatest := math.Inf(1), 0.0
		for i := range said {
			best := r.Float64()
			said[i] = Span{best * r.Float64(), best, best + float64(r.IntN(2))*r.Float64()}
			least, greatest = min(least, said[i].Low), max(greatest, said[i].High)
		}
		p := PoolSpans(said)
		if !(p.Low <= p.Best && p.Best <= p.High && p.Low >= least-1e-12 && p.High <= greatest+1e-12) {
			t.Fatalf("%+v of %+v", p, said)
		}
	}
}

// Experts who use different units count the same, and the best sum to 1: shares
// .5 .3 .2 and points 20 20 60 give .35 .25 .40 by hand.
func TestFromIntervals(t *testing.T) {
	answers := func(unit float64, best ...float64) []FourStep {
		var list []FourStep
		for _, b := range best {
			list = append(list, FourStep{b * .5 * unit, b * 1.5 * unit, b * unit, 80})
		}
		return list
	}
	w, err := FromIntervals(threeItems, []By[[]FourStep]{{"A", answers(1, .5, .3, .2)}, {"B", answers(100, .2, .2, .6)}})
	if err != nil {
		t.Fatal(err)
	}
	nearWeights(t, "weights", w.Weights(), []float64{.35, .25, .40}, 1e-12)
	if !w.HasSpread || w.Consistency != nil || len(w.Warnings) > 0 {
		t.Errorf("%+v", w)
	}
	for i, s := range w.Spans {
		if !(s.Low < s.Best && s.Best < s.High && s.Low >= 0 && s.High <= 1) {
			t.Errorf("%s: %+v", threeItems[i], s)
		}
	}
	nearWeights(t, "A alone", spanBests(w.Opinions[0].Spans), []float64{.5, .3, .2}, 1e-12)
}

// Direct weights: 100 points and shares count the same; least and greatest are
// kept. By hand.
func TestFromWeights(t *testing.T) {
	w, err := FromWeights(threeItems, []By[[]float64]{{"A", []float64{50, 30, 20}}, {"B", []float64{.3, .3, .4}}})
	if err != nil {
		t.Fatal(err)
	}
	nearWeights(t, "weights", w.Weights(), []float64{.4, .3, .3}, 1e-12)
	nearWeights(t, "spread", []float64{w.Spans[0].Low, w.Spans[0].High, w.Spans[2].Low, w.Spans[2].High}, []float64{.3, .5, .2, .4}, 1e-12)
	one, err := FromWeights(threeItems, []By[[]float64]{{"A", []float64{1, 1, 2}}})
	if err != nil || one.HasSpread {
		t.Errorf("one expert has a spread: %+v %v", one, err)
	}
}

// Several experts' comparisons: the geometric mean leaves a reciprocal matrix,
// two opposite experts come to equal weights, and each keeps their own.
func TestSeveralCompare(t *testing.T) {
	p := pairwiseOf(t, "1 3 5 | 1/3 1 3 | 1/5 1/3 1")
	q := pairwiseOf(t, "1 1/3 1/5 | 3 1 1/3 | 5 3 1")
	w, err := FromComparisons(threeItems, []By[Pairwise]{{"A", p}, {"B", q}})
	if err != nil {
		t.Fatal(err)
	}
	nearWeights(t, "together", w.Weights(), []float64{1. / 3, 1. / 3, 1. / 3}, 1e-12)
	if w.Consistency.Ratio > 1e-12 || len(w.Opinions) != 2 || w.Opinions[1].Consistency.Ratio < 0.03 {
		t.Errorf("%+v", w)
	}
	nearWeights(t, "spread", []float64{w.Spans[0].Low, w.Spans[0].High}, []float64{.1047, .6370}, 5e-5)
}

// Among three items nothing tells which comparison is wrong; the boldest is named,
// and what the other two say follows by hand: 5 · 4 = 20 against 1/3 the other way.
func TestCircleOfThree(t *testing.T) {
	w, err := FromComparisons(threeItems, []By[Pairwise]{{"A", pairwiseOf(t, "1 5 1/3 | 1/5 1 4 | 3 1/4 1")}})
	if err != nil || len(w.Warnings) != 1 {
		t.Fatalf("%v %+v", err, w)
	}
	for _, part := range []string{"5 times 4 times 3 makes 60", "bank against damp: 5 times was said, the other comparisons say 1/12"} {
		if !strings.Contains(w.Warnings[0], part) {
			t.Errorf("%q does not say %q", w.Warnings[0], part)
		}
	}
}

// Answers that cannot be used are refused with the expert's code and the item.
func TestBadAnswers(t *testing.T) {
	for _, c := range []struct {
		says   string
		answer FourStep
	}{
		{"expert A: damp: lowest 3, best 2, highest 4 do not rise", FourStep{3, 4, 2, 80}},
		{"confidence 20 %", FourStep{1, 4, 2, 20}},
		{"below 0", FourStep{-1, 4, 2, 80}},
		{"not a usable number", FourStep{1, math.NaN(), 2, 80}},
	} {
		fine := FourStep{1, 3, 2, 80}
		_, err := FromIntervals(threeItems, []By[[]FourStep]{{"A", []FourStep{fine, c.answer, fine}}})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, which does not say %q", err, c.says)
		}
	}
	if _, err := FromIntervals(threeItems, []By[[]FourStep]{{"A", make([]FourStep, 2)}}); err == nil {
		t.Error("nothing but zeros was accepted")
	}
	for _, weights := range [][]float64{{1, 2}, {0, 0, 0}, {-1, 1, 1}, {1, 1, math.Inf(1)}, {1, 1, 1, 1}, nil} {
		if _, err := FromWeights(threeItems, []By[[]float64]{{"A", weights}}); err == nil {
			t.Errorf("%v was accepted", weights)
		}
	}
	if _, err := FromWeights(threeItems, nil); err == nil {
		t.Error("nobody was accepted")
	}
}
