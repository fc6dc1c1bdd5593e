package evidence

import "math"

// tenthInDeviations is how many standard deviations of a normal distribution lie
// between its middle and the points that cut off a tenth on either side.
var tenthInDeviations = math.Sqrt2 * math.Erfinv(0.8)

// PoolSpans puts the intervals of several experts together, every expert counting
// the same. The best is the mean of their best guesses. Low and high cut off a
// tenth on either side of the mixture of what they believe, each belief being a
// normal distribution of two halves around the best guess whose own tenths are
// the expert's low and high. So doubt is kept whether experts are unsure or
// disagree; a mean of lows and of highs would lose the disagreement. The
// interval is widened to the best where it would not hold it.
func PoolSpans(said []Span) Span {
	mean := 0.0
	for _, s := range said {
		mean += s.Best / float64(len(said))
	}
	return Span{min(beliefQuantile(said, 0.1), mean), mean, max(beliefQuantile(said, 0.9), mean)}
}

// beliefQuantile is where the mixture of beliefs reaches a probability. All beliefs
// reach a tenth and nine tenths between the least low and the greatest high, and
// so does their mixture.
func beliefQuantile(said []Span, probability float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range said {
		low, high = min(low, s.Low), max(high, s.High)
	}
	for range 100 {
		middle := (low + high) / 2
		if mixedBelief(said, middle) < probability {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// mixedBelief is the probability that the truth is no greater than x, with every
// expert counting the same.
func mixedBelief(said []Span, x float64) float64 {
	sum := 0.0
	for _, s := range said {
		sum += s.below(x)
	}
	return sum / float64(len(said))
}

// below is one expert's belief that the truth is no greater than x.
func (s Span) below(x float64) float64 {
	deviation := (s.High - s.Best) / tenthInDeviations
	if x < s.Best {
		deviation = (s.Best - s.Low) / tenthInDeviations
	}
	switch {
	case deviation > 0:
		return (1 + math.Erf((x-s.Best)/deviation/math.Sqrt2)) / 2
	case x < s.Best:
		return 0
	}
	return 1
}
