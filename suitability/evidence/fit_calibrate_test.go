package evidence

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
)

func smallWorld(seed uint64, n int) CalibrationData {
	rng := rand.New(rand.NewPCG(seed, 11))
	w := newWorld(rng, .5, -.6)
	return w.data(w.records(rng, n, true))
}

func TestCalibrateRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		n     int
		spoil func(*CalibrationData)
		want  error
	}{
		{"no effort layer", 60, func(d *CalibrationData) { d.Quadrature.Effort, d.Records.Effort = nil, nil }, ErrNoEffort},
		{"14 records", 14, func(*CalibrationData) {}, ErrFewRecords},
		{"14 records that weigh", 60, func(d *CalibrationData) { clear(d.Records.Weight[14:]) }, ErrFewRecords},
		{"4 blocks", 60, func(d *CalibrationData) {
			for i := range d.Records.Block {
				d.Records.Block[i] = int32(i % 4)
			}
		}, ErrFewBlocks},
		{"a minimum", 60, func(d *CalibrationData) { d.Geometric = false }, ErrNotGeometric},
	} {
		d := smallWorld(1, c.n)
		c.spoil(&d)
		_, err := Calibrate(context.Background(), d, CalibrateOptions{Draws: 1})
		var refusal *CalibrationRefusal
		if !errors.Is(err, c.want) || !errors.As(err, &refusal) || !strings.Contains(err.Error(), "hint: ") {
			t.Errorf("%s: got %v", c.name, err)
		}
	}
}

func TestCalibrateNamesWhatItCannotUse(t *testing.T) {
	for want, spoil := range map[string]func(*CalibrationData){
		"record 3: requisite R2 is 0": func(d *CalibrationData) { d.Records.R[1][3] = 0 },
		"quadrature cell 7":           func(d *CalibrationData) { d.Quadrature.Effort[7] = math.NaN() },
		"which has no quadrature":     func(d *CalibrationData) { d.Records.Block[2] = 999 },
		"weight of R1":                func(d *CalibrationData) { d.Expert = []float64{-1, 1, 1, 1} },
		"3 weights for 4":             func(d *CalibrationData) { d.Expert = d.Expert[:3] },
		"intercept, effort cannot be told apart": func(d *CalibrationData) {
			d.Records.Effort, d.Quadrature.Effort = filled(60, 2), filled(len(d.Quadrature.Weight), 2)
		},
	} {
		d := smallWorld(1, 60)
		d.Expert = slices.Clone(d.Expert)
		spoil(&d)
		if _, err := Calibrate(context.Background(), d, CalibrateOptions{Draws: 1}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
	if _, err := Calibrate(context.Background(), smallWorld(1, 60), CalibrateOptions{Taus: []float64{-1}}); err == nil {
		t.Error("a negative τ was taken")
	}
}

// The same seed gives the same numbers, whatever the number of workers.
func TestCalibrateIsTheSameForAnyWorkers(t *testing.T) {
	d := smallWorld(4, 80)
	one := mustCalibrate(t, d, CalibrateOptions{Draws: 40, Workers: 1, Seed: 9})
	three := mustCalibrate(t, d, CalibrateOptions{Draws: 40, Workers: 3, Seed: 9})
	if !reflect.DeepEqual(one, three) {
		t.Errorf("one worker %+v\nthree %+v", one.Rows, three.Rows)
	}
	other := mustCalibrate(t, d, CalibrateOptions{Draws: 40, Seed: 10})
	if reflect.DeepEqual(one.Draws, other.Draws) {
		t.Error("another seed gave the same draws")
	}
}

// The choice, the fit and the conditional score, each computed anew here.
func TestCalibrationHoldsTogether(t *testing.T) {
	d := smallWorld(6, 150)
	var last [2]int
	c := mustCalibrate(t, d, CalibrateOptions{Draws: 50, Kappas: []float64{2, 4}, Taus: []float64{.3, 1}, Eager: true,
		Progress: func(done, total int) { last = [2]int{done, total} }})
	if last[0] != last[1] || last[0] != 5*3+50 {
		t.Errorf("progress ended at %v", last)
	}
	best := slices.MaxFunc(c.Scores, func(a, b CrossScore) int {
		if a.Tau == 0 || b.Tau == 0 { // the experts were not among the candidates
			return int(10*a.Tau) - int(10*b.Tau)
		}
		return int(math.Copysign(1, a.LogLik-b.LogLik))
	})
	if best.Kappa != c.Kappa || best.Tau != c.Tau {
		t.Errorf("chosen κ %g τ %g, best score at κ %g τ %g", c.Kappa, c.Tau, best.Kappa, best.Tau)
	}
	if got, want := c.DrawIntensity(3, []float64{-1, 0, -2, 0}, -.5), -.5-c.Draws[3][0]-2*c.Draws[3][2]; got != want {
		t.Errorf("log intensity of a draw %g, by hand %g", got, want)
	}
	sum := 0.0
	for g, r := range c.Rows {
		sum += r.Fitted.Value
		if math.Abs(r.Fitted.Value*c.Sum.Value-r.B.Value) > 1e-12 || math.Abs(c.Fit.Coef[g]-r.B.Value) > 0 {
			t.Errorf("%v: b %g is not W·Σb", r, r.B.Value)
		}
		if r.B.Low > r.B.High || r.Fitted.Low > r.Fitted.High {
			t.Errorf("%v: interval upside down", r)
		}
		t.Log(r)
	}
	if math.Abs(sum-1) > 1e-12 || !c.Acceptable {
		t.Errorf("weights sum to %g, acceptable %v, negative %v", sum, c.Acceptable, c.Negative)
	}
	if got, want := heldOutByHand(t, d, c), c.Scores[slices.IndexFunc(c.Scores, func(s CrossScore) bool { return s.Kappa == c.Kappa && s.Tau == c.Tau })].LogLik; math.Abs(got-want) > 1e-5 {
		t.Errorf("held-out log likelihood a record %.9f, by hand %.9f", want, got)
	}
}

// heldOutByHand fits each fold's complement with LogLinear itself and scores the
// fold by the definition.
func heldOutByHand(t *testing.T, d CalibrationData, c *Calibration) float64 {
	total, records := 0.0, 0.0
	for _, fold := range c.Folds {
		in := func(b int32) bool { return slices.Contains(fold.Blocks, b) }
		var train LogLinear
		terms := func(p CalibrationPlaces, i int) []float64 {
			var x []float64
			for g := range p.R {
				x = append(x, math.Log(p.R[g][i]))
			}
			return append(x, 1, math.Log(p.Effort[i]+c.E0))
		}
		for j := range 6 {
			train.Terms = append(train.Terms, FitTerm{Name: fmt.Sprint(j)})
			if j < 4 {
				train.Terms[j].Prior = NormalPrior{Mean: c.Kappa * d.Expert[j], Precision: 1 / (c.Tau * c.Tau)}
			}
		}
		for k, p := range []CalibrationPlaces{d.Records, d.Quadrature} {
			for i, w := range p.Weight {
				if in(p.Block[i]) {
					continue
				}
				train.Points, train.Area = append(train.Points, w*float64(1-k)), append(train.Area, w*float64(k))
				for j, v := range terms(p, i) {
					train.Terms[j].Values = append(train.Terms[j].Values, v)
				}
			}
		}
		b := mustFit(t, train).Coef
		eta := func(p CalibrationPlaces, i int) (eta float64) {
			for j, v := range terms(p, i) {
				eta += b[j] * v
			}
			return eta
		}
		norm := 0.0
		for i, a := range d.Quadrature.Weight {
			if in(d.Quadrature.Block[i]) {
				norm += a * math.Exp(eta(d.Quadrature, i))
			}
		}
		for i, w := range d.Records.Weight {
			if in(d.Records.Block[i]) {
				total += w * (eta(d.Records, i) - math.Log(norm))
				records += w
			}
		}
	}
	return total / records
}

// A requisite whose ratings run against the records gets b < 0: not acceptable.
// Held at 0 or above, it gets weight 0.
func TestNegativeCoefficientIsNotAcceptable(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 12))
	w := newWorld(rng, .2, 0)
	records := w.records(rng, 300, false)
	for i, r := range w.r[0] {
		w.r[0][i] = 1.02 - r
	}
	o := CalibrateOptions{Draws: 30, Taus: []float64{.7, 1.5}}
	c := mustCalibrate(t, w.data(records), o)
	if c.Acceptable || !slices.Equal(c.Negative, []string{"R1"}) || c.Rows[0].Fitted.Value != 0 {
		t.Errorf("acceptable %v, negative %v, %v", c.Acceptable, c.Negative, c.Rows[0])
	}
	o.NonNegative = true
	c = mustCalibrate(t, w.data(records), o)
	if !c.Acceptable || c.Rows[0].B.Value != 0 || !c.Fit.AtBound[0] || c.Rows[1].B.Value <= 0 {
		t.Errorf("held at 0 or above: acceptable %v, %v", c.Acceptable, c.Rows)
	}
}

// With a narrow prior the fit is the experts', whatever the records; with κ and τ
// of one choice nothing is left to cross-validate, and multipliers only shift.
func TestExpertsStand(t *testing.T) {
	d := smallWorld(8, 100)
	d.Records.LogM, d.Quadrature.LogM = filled(100, -.3), filled(len(d.Quadrature.Weight), -.3)
	c := mustCalibrate(t, d, CalibrateOptions{Draws: 20, Kappas: []float64{3}, Taus: []float64{0}})
	for g, r := range c.Rows {
		if math.Abs(r.Fitted.Value-d.Expert[g]) > 1e-12 || math.Abs(r.B.Value-3*d.Expert[g]) > 1e-12 {
			t.Errorf("%v, the experts said %g", r, d.Expert[g])
		}
	}
	plain := d
	plain.Records.LogM, plain.Quadrature.LogM = nil, nil
	p := mustCalibrate(t, plain, CalibrateOptions{Draws: 20, Kappas: []float64{3}, Taus: []float64{0}})
	if math.Abs(p.Intercept-c.Intercept+.3) > 1e-6 || math.Abs(p.Gamma.Value-c.Gamma.Value) > 1e-6 {
		t.Errorf("a multiplier of the same size everywhere moved %g to %g, γ %g to %g", p.Intercept, c.Intercept, p.Gamma.Value, c.Gamma.Value)
	}
	logR := []float64{-1, -.5, -.2, 0}
	want := c.Intercept + -.3 + c.Gamma.Value*math.Log(c.Median+c.E0)
	for g, v := range logR {
		want += 3 * d.Expert[g] * v
	}
	if got := c.LogIntensity(logR, -.3); math.Abs(got-want) > 1e-12 {
		t.Errorf("log intensity %g, by hand %g", got, want)
	}
}

// Blocks 7, 3, 1 and 9 hold 3, 2, 1 and 1 records: 7, 3 and 1 open a fold each,
// 9 joins the lightest; then come 4, 5 and 6 in turn.
func TestCrossFoldsDealBlocksEvenly(t *testing.T) {
	block := []int32{7, 7, 7, 3, 3, 9, 9, 1, 4, 5, 6}
	points := []float64{1, 1, 1, 1, 1, 1, 0, 1, 0, 0, 0}
	folds, rows := crossFolds(block, points, 3)
	want := []CrossFold{{Blocks: []int32{6, 7}, Records: 3, Weight: 3}, {Blocks: []int32{3, 4}, Records: 2, Weight: 2}, {Blocks: []int32{1, 5, 9}, Records: 2, Weight: 2}}
	if !reflect.DeepEqual(folds, want) {
		t.Errorf("folds %+v", folds)
	}
	for i, b := range block {
		if !slices.Contains(folds[rows[i]].Blocks, b) {
			t.Errorf("row %d of block %d lies in fold %d", i, b, rows[i])
		}
	}
}

func TestWeightRowReadsAsASentence(t *testing.T) {
	r := WeightRow{Requisite: "dry heath", Expert: .4, Fitted: FitInterval{.52, .31, .7}, OK: true}
	if got := r.String(); got != "records moved the weight of dry heath from .40 to .52 (.31 to .70)" {
		t.Error(got)
	}
}

func TestCalibrateStopsWhenAsked(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Calibrate(ctx, smallWorld(1, 60), CalibrateOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// Twelve requisites and 10⁵ quadrature cells.
func BenchmarkCalibrate(b *testing.B) {
	d := largeData(12, 100_000, 300)
	for b.Loop() {
		c := mustCalibrate(b, d, CalibrateOptions{})
		b.ReportMetric(float64(len(c.Draws)), "draws")
	}
}

func BenchmarkFit(b *testing.B) {
	d := largeData(12, 100_000, 300)
	c, err := newCalibrator(d, CalibrateOptions{}.withDefaults())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		fit, err := c.priors(c.mean(3), .7).solver(c.points, c.area).run(context.Background(), FitOptions{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(fit.Iterations), "iterations")
	}
}

func largeData(requisites, cells, records int) CalibrationData {
	rng := rand.New(rand.NewPCG(1, 13))
	d := CalibrationData{Geometric: true}
	for g := range requisites {
		d.Requisites = append(d.Requisites, fmt.Sprintf("R%d", g+1))
		d.Expert = append(d.Expert, float64(1+g%4))
	}
	fill := func(p *CalibrationPlaces, n int) {
		p.R = make([][]float64, requisites)
		for i := range n {
			for g := range p.R {
				p.R[g] = append(p.R[g], .01+.99*math.Pow(rng.Float64(), 1/(1+float64(n%7))))
			}
			p.Effort, p.Weight, p.Block = append(p.Effort, rng.ExpFloat64()), append(p.Weight, 1), append(p.Block, int32(i*100/n))
		}
	}
	fill(&d.Records, records)
	fill(&d.Quadrature, cells)
	return d
}
