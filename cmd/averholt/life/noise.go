package life

import "math"

// noise is a field of standard normal numbers that hang together over a
// distance: white noise under a Gaussian of sigma cells, drawn beyond the edges
// so that the edge is like the middle, and brought back to mean 0 and spread 1.
func noise(seed uint64, purpose string, cols, rows int, sigma float64) raster {
	rng, pad := stream(seed, purpose), int(math.Ceil(3*sigma))
	wide := newRaster(cols+2*pad, rows+2*pad)
	for i := range wide.at {
		wide.at[i] = float32(rng.NormFloat64())
	}
	out := wide.blurred(sigma).part(pad, pad, cols, rows)
	mean, spread := out.moments()
	for i, v := range out.at {
		out.at[i] = float32((float64(v) - mean) / spread)
	}
	return out
}

// moments are the mean and the standard deviation of all cells.
func (r raster) moments() (mean, spread float64) {
	for _, v := range r.at {
		mean += float64(v)
	}
	n := float64(len(r.at))
	mean /= n
	for _, v := range r.at {
		spread += (float64(v) - mean) * (float64(v) - mean)
	}
	return mean, math.Sqrt(spread / n)
}

// uniform turns standard normal numbers into ones between 0 and 1, evenly
// spread, by their distribution function.
func (r raster) uniform() raster {
	for i, v := range r.at {
		r.at[i] = float32(0.5 * math.Erfc(-float64(v)/math.Sqrt2))
	}
	return r
}
