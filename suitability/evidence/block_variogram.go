package evidence

import (
	"math"

	"github.com/paulmach/orb"
)

const (
	variogramSample = 2500 // places at most, so that pairs stay within some millions
	variogramLags   = 25   // classes of distance
	sillReached     = 0.95 // of the sill, where the range ends (common practice, no source)
)

// Variogram is how unlike two places are, on the average, by how far they are
// apart:
//
//	γ(h) = Σ (z_i − z_j)² / (2 N(h))  over the N(h) pairs in the class of distance h
//
// the classical estimator of Matheron (1963), Economic Geology 58:1246-1266, over
// classes of equal width up to half of the shorter side of the places' bound.
// The sill is the variance of all values; the range is the middle of the first
// class in which γ comes to 95 % of it.
type Variogram struct {
	Lag    float64   `json:"lag_m"` // width of a class, metres
	Gamma  []float64 `json:"gamma"` // by class; 0 where no pair falls
	Pairs  []int64   `json:"pairs"`
	Sill   float64   `json:"sill"`
	Range  float64   `json:"range_m"` // metres; 0 where all values are alike
	Beyond bool      `json:"beyond"`  // the sill was not reached: the range is longer
}

// newVariogram compares every pair: for a sample of some thousand places.
func newVariogram(places []orb.Point, values []float64) Variogram {
	v := Variogram{Gamma: make([]float64, variogramLags), Pairs: make([]int64, variogramLags), Sill: sillOf(values)}
	if len(places) < 2 || v.Sill <= 0 {
		return v
	}
	bound := orb.MultiPoint(places).Bound()
	reach := min(bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]) / 2
	if !(reach > 0) {
		return v
	}
	v.Lag = reach / variogramLags
	for i, p := range places {
		for k, q := range places[:i] {
			at := int(math.Hypot(p[0]-q[0], p[1]-q[1]) / v.Lag)
			if at < variogramLags {
				v.Gamma[at] += (values[i] - values[k]) * (values[i] - values[k]) / 2
				v.Pairs[at]++
			}
		}
	}
	v.find(reach)
	return v
}

// find turns sums into means and finds the range.
func (v *Variogram) find(reach float64) {
	v.Range, v.Beyond = reach, true
	for k, n := range v.Pairs {
		if n == 0 {
			continue
		}
		v.Gamma[k] /= float64(n)
		if v.Beyond && v.Gamma[k] >= sillReached*v.Sill {
			v.Range, v.Beyond = (float64(k)+0.5)*v.Lag, false
		}
	}
}

// sillOf is the variance of all values.
func sillOf(values []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, z := range values {
		mean += z / float64(len(values))
	}
	for _, z := range values {
		sum += (z - mean) * (z - mean)
	}
	return sum / float64(max(1, len(values)))
}
