package evidence

import (
	"math"
	"slices"
	"sort"
)

// logSum adds numbers given by their logarithms without overflow.
type logSum struct{ top, sum float64 }

func newLogSum() *logSum { return &logSum{top: math.Inf(-1)} }

func (l *logSum) add(v float64) {
	if v > l.top {
		l.sum = l.sum*math.Exp(l.top-v) + 1
		l.top = v
		return
	}
	l.sum += math.Exp(v - l.top)
}

func (l *logSum) value() float64 { return l.top + math.Log(l.sum) }

func sumOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum
}

// shares are values over their sum.
func shares(values []float64) []float64 {
	out, sum := make([]float64, len(values)), sumOf(values)
	for i, v := range values {
		out[i] = v / sum
	}
	return out
}

// joined is a then b in a slice of its own.
func joined(a, b []float64) []float64 {
	return append(append(make([]float64, 0, len(a)+len(b)), a...), b...)
}

func filledWith(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

func weightedMean(values, weights []float64) float64 {
	sum, total := 0.0, 0.0
	for i, w := range weights {
		sum, total = sum+w*values[i], total+w
	}
	return sum / total
}

// ranked replaces numbers by their place among those that occur, from 0.
func ranked(numbers []int32) (places []int32, count int) {
	place := map[int32]int32{}
	for k, n := range slices.Compact(slices.Sorted(slices.Values(numbers))) {
		place[n] = int32(k)
	}
	places = make([]int32, len(numbers))
	for i, n := range numbers {
		places[i] = place[n]
	}
	return places, len(place)
}

// weightedMedian is the smallest value with at least half of the weight at or
// below it.
func weightedMedian(values, weights []float64) float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool { return values[order[a]] < values[order[b]] })
	half := sumOf(weights) / 2
	for _, i := range order {
		if half -= weights[i]; half <= 0 {
			return values[i]
		}
	}
	return math.NaN()
}

// sortedQuantile is linear between order statistics (type 7 of Hyndman RJ, Fan Y
// (1996) American Statistician 50:361-365).
func sortedQuantile(sorted []float64, p float64) float64 {
	at := p * float64(len(sorted)-1)
	low := int(at)
	if low+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[low] + (at-float64(low))*(sorted[low+1]-sorted[low])
}
