package evidence

import (
	"math"
	"math/rand/v2"
	"slices"
)

const (
	jointChains = 4
	jointWarmUp = 200 // rounds of each chain that are thrown away
	jointThin   = 3   // rounds between draws
	jointSettle = 20  // rounds after a change of intensities
)

// sample runs four chains of slice sampling, one coordinate after the other
// (Neal RM (2003) Slice sampling. Annals of Statistics 31:705-767, figures 3 and
// 5): nothing to tune, and the same draws for the same seed.
func (j *JointOccupancy) sample(sites []JointSite, o JointOptions) {
	total := o.Draws
	if n := len(o.Intensities); n > 0 {
		total = n
	} else if total == 0 {
		total = 4000
	}
	q := newJoint(sites, o)
	var scales [][]float64
	for chain := range jointChains {
		from, to := chain*total/jointChains, (chain+1)*total/jointChains
		scales = append(scales, j.run(q, sites, o, from, to, rand.New(rand.NewPCG(o.Seed, uint64(chain)))))
	}
	j.RHat = splitRHat(scales)
	j.summarise()
}

func (j *JointOccupancy) run(q *joint, sites []JointSite, o JointOptions, from, to int, rng *rand.Rand) []float64 {
	state := make([]float64, 1+len(q.detection))
	for k := range state {
		state[k] = rng.NormFloat64() // chains start apart
	}
	var scales []float64
	rounds := jointWarmUp
	for d := from; d < to; d++ {
		reference := q.place(sites, func(i int) float64 {
			if o.Intensities != nil {
				return o.Intensities[d][i]
			}
			return sites[i].LogIntensity
		})
		q.logPosterior(state)
		for range rounds {
			q.round(state, rng)
		}
		rounds = jointThin
		if o.Intensities != nil {
			rounds = jointSettle
		}
		draw := JointDraw{Reference: reference, Scale: state[0]}
		for _, x := range state[1:] {
			draw.P = append(draw.P, 1/(1+math.Exp(-x)))
		}
		j.Draws = append(j.Draws, draw)
		scales = append(scales, state[0])
	}
	return scales
}

// round updates each coordinate once: a level under the density, an interval
// stepped out around the point, shrunk until a point lies in the slice.
func (q *joint) round(state []float64, rng *rand.Rand) {
	const width = 2.0
	for k := range state {
		x := state[k]
		at := func(v float64) float64 { return q.at(state, k, v) }
		level := at(x) + math.Log(1-rng.Float64())
		low := x - width*rng.Float64()
		high := low + width
		for n := 0; n < 50 && at(low) > level; n++ {
			low -= width
		}
		for n := 0; n < 50 && at(high) > level; n++ {
			high += width
		}
		for {
			v := low + rng.Float64()*(high-low)
			if at(v) >= level || v == x {
				break
			}
			if v < x {
				low = v
			} else {
				high = v
			}
		}
	}
}

func (j *JointOccupancy) summarise() {
	scales := make([]float64, len(j.Draws))
	for d, draw := range j.Draws {
		scales[d] = draw.Scale
	}
	j.Scale = middleOf(scales)
	for m := range j.Methods {
		p := make([]float64, len(j.Draws))
		for d, draw := range j.Draws {
			p[d] = draw.P[m]
		}
		j.Detection = append(j.Detection, middleOf(p))
	}
}

// splitRHat is √(1 + B/W − 1/n) over the halves of the chains, of n draws each;
// 0 where there are too few draws to tell.
func splitRHat(chains [][]float64) float64 {
	var means, variances []float64
	n := len(chains[0]) / 2
	if n < 2 {
		return 0
	}
	for _, chain := range chains {
		for half := range slices.Chunk(chain[len(chain)-2*n:], n) {
			mean := sumOf(half) / float64(n)
			spread := 0.0
			for _, v := range half {
				spread += (v - mean) * (v - mean) / float64(n-1)
			}
			means, variances = append(means, mean), append(variances, spread)
		}
	}
	within := sumOf(variances) / float64(len(variances))
	middle, between := sumOf(means)/float64(len(means)), 0.0
	for _, m := range means {
		between += (m - middle) * (m - middle) / float64(len(means)-1)
	}
	return math.Sqrt(1 - 1/float64(n) + between/within)
}
