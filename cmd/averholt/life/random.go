package life

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// stream is the stream of numbers for one purpose: what is drawn for one thing
// never moves what is drawn for another.
func stream(seed uint64, purpose string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(purpose))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// pick draws an index in proportion to weights; -1 where none is positive.
func pick(rng *rand.Rand, weights []float64) int {
	total := 0.0
	for _, w := range weights {
		total += w
	}
	at := rng.Float64() * total
	last := -1
	for i, w := range weights {
		if w <= 0 {
			continue
		}
		if last = i; at < w {
			return i
		}
		at -= w
	}
	return last
}

// between draws evenly from a span.
func between(rng *rand.Rand, low, high float64) float64 { return low + rng.Float64()*(high-low) }

// threePoint draws from the triangle over a lowest, a most likely and a highest
// value.
func threePoint(rng *rand.Rand, low, mode, high float64) float64 {
	u := rng.Float64()
	if cut := (mode - low) / (high - low); u < cut {
		return low + math.Sqrt(u*(high-low)*(mode-low))
	}
	return high - math.Sqrt((1-u)*(high-low)*(high-mode))
}

// oneOf draws one of several.
func oneOf[T any](rng *rand.Rand, of ...T) T { return of[rng.IntN(len(of))] }
