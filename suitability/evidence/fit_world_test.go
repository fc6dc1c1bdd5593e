package evidence

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// world is an invented landscape whose truth is known: four requisites, their
// true weights, experts who are wrong by a factor each, and recording effort.
type world struct {
	cols, rows      int
	r               [][]float64 // [requisite][cell]
	truth, expert   []float64
	kappa           float64
	effort          []float64 // where people look
	block           []int32
	truthLogHabitat []float64
}

const worldBlock = 10

// newWorld draws smooth requisites; experts' weights are the truth times
// exp(N(0, error²)); the logarithm of effort has a correlation of about the given
// one with the strongest requisite's.
func newWorld(rng *rand.Rand, expertError, correlation float64) *world {
	w := &world{cols: 60, rows: 40, truth: []float64{.4, .3, .2, .1}, kappa: 3}
	for range w.truth {
		field := smoothField(rng, w.cols, w.rows)
		for i, z := range field {
			field[i] = .02 + .98*normalCDF(z)
		}
		w.r = append(w.r, field)
		w.expert = append(w.expert, w.truth[len(w.expert)]*math.Exp(expertError*rng.NormFloat64()))
	}
	w.expert = shares(w.expert)
	other := smoothField(rng, w.cols, w.rows)
	strongest := standardised(logs(w.r[0]))
	for i, z := range other {
		w.effort = append(w.effort, math.Exp(correlation*strongest[i]+math.Sqrt(1-correlation*correlation)*z))
		w.block = append(w.block, int32(i/w.cols/worldBlock*w.cols/worldBlock+i%w.cols/worldBlock))
	}
	w.truthLogHabitat = w.logHabitat(w.truth)
	return w
}

func normalCDF(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

func logs(values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = math.Log(v)
	}
	return out
}

func standardised(values []float64) []float64 {
	mean, sd := 0.0, 0.0
	for _, v := range values {
		mean += v / float64(len(values))
	}
	for _, v := range values {
		sd += (v - mean) * (v - mean) / float64(len(values))
	}
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = (v - mean) / math.Sqrt(sd)
	}
	return out
}

// smoothField is a sum of waves of random direction, length and phase, to mean 0
// and deviation 1.
func smoothField(rng *rand.Rand, cols, rows int) []float64 {
	field := make([]float64, cols*rows)
	for range 12 {
		angle, length, phase := 2*math.Pi*rng.Float64(), 10+30*rng.Float64(), 2*math.Pi*rng.Float64()
		for i := range field {
			along := float64(i%cols)*math.Cos(angle) + float64(i/cols)*math.Sin(angle)
			field[i] += math.Cos(2*math.Pi*along/length + phase)
		}
	}
	return standardised(field)
}

func (w *world) logHabitat(weights []float64) []float64 {
	out := make([]float64, w.cols*w.rows)
	for g, b := range weights {
		for i, r := range w.r[g] {
			out[i] += b * math.Log(r)
		}
	}
	return out
}

// records draws n places from λ ∝ H^κ, times effort where biased.
func (w *world) records(rng *rand.Rand, n int, biased bool) []int {
	cumulative := make([]float64, len(w.effort))
	sum := 0.0
	for i, h := range w.truthLogHabitat {
		lambda := math.Exp(w.kappa * h)
		if biased {
			lambda *= w.effort[i]
		}
		sum += lambda
		cumulative[i] = sum
	}
	out := make([]int, n)
	for k := range out {
		out[k], _ = slices.BinarySearch(cumulative, rng.Float64()*sum)
	}
	return out
}

func (w *world) data(records []int) CalibrationData {
	d := CalibrationData{Geometric: true, Expert: w.expert}
	all := make([]int, len(w.effort))
	for i := range all {
		all[i] = i
	}
	for g := range w.r {
		d.Requisites = append(d.Requisites, fmt.Sprintf("R%d", g+1))
	}
	every := slices.DeleteFunc(all, func(i int) bool { return i%w.cols%2 != 0 || i/w.cols%2 != 0 })
	d.Records, d.Quadrature = w.places(records), w.places(every)
	return d
}

func (w *world) places(cells []int) CalibrationPlaces {
	p := CalibrationPlaces{R: make([][]float64, len(w.r))}
	for _, i := range cells {
		for g := range w.r {
			p.R[g] = append(p.R[g], w.r[g][i])
		}
		p.Effort, p.Weight, p.Block = append(p.Effort, w.effort[i]), append(p.Weight, 1), append(p.Block, w.block[i])
	}
	return p
}

// agreement is Spearman's rank correlation over cells with the true habitat.
func (w *world) agreement(weights []float64) float64 {
	a, b := standardised(fieldRanks(w.logHabitat(weights))), standardised(fieldRanks(w.truthLogHabitat))
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum / float64(len(a))
}

// fieldRanks has no ties to mind: the fields are continuous.
func fieldRanks(values []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if values[a] < values[b] {
			return -1
		}
		return 1
	})
	out := make([]float64, len(values))
	for rank, i := range order {
		out[i] = float64(rank)
	}
	return out
}

func coefficients(c *Calibration) []float64 {
	var b []float64
	for _, r := range c.Rows {
		b = append(b, r.B.Value)
	}
	return b
}

func mustCalibrate(t testing.TB, d CalibrationData, o CalibrateOptions) *Calibration {
	t.Helper()
	c, err := Calibrate(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
