package evidence

import (
	"context"
	"fmt"
	"math"
	"strings"
)

// Calibration is the experts' weights beside the fitted ones, with the way there.
type Calibration struct {
	Kappa, Tau float64
	Scores     []CrossScore // every κ and τ that was tried
	Folds      []CrossFold
	Rows       []WeightRow // before and after
	Sum        FitInterval // Σ b: how strongly intensity follows suitability
	Intercept  float64
	Gamma      FitInterval // of log(e + e0); 0 without an effort term
	E0, Median float64     // what was added to effort, and its median over the area
	Fit        *Fit
	// OverExperts and OverNull are what the fit gains, in held-out log likelihood
	// a record, on the experts' weights (at their best κ) and on a map that knows
	// only effort and multipliers.
	OverExperts, OverNull CrossGain
	// Negative are the requisites with b < 0: their ratings and the records
	// disagree about the direction. Acceptable is false then.
	Negative   []string
	Acceptable bool
	Draws      [][]float64 // b_g by draw of the bootstrap, those that failed left out
	Failed     int
}

// WeightRow is one requisite before and after.
type WeightRow struct {
	Requisite string
	Expert    float64
	B         FitInterval // the coefficient, with its 80 % interval
	// Fitted is W_g = b_g/Σb with its 80 % interval, b below 0 taken as 0; OK is
	// false where no b is above 0.
	Fitted FitInterval
	OK     bool
}

// FitInterval is an estimate between its 10th and 90th percentile.
type FitInterval struct{ Value, Low, High float64 }

// String is a sentence for the table.
func (r WeightRow) String() string {
	if !r.OK {
		return fmt.Sprintf("records leave the weight of %s undefined", r.Requisite)
	}
	return fmt.Sprintf("records moved the weight of %s from %s to %s (%s to %s)", r.Requisite,
		asShare(r.Expert), asShare(r.Fitted.Value), asShare(r.Fitted.Low), asShare(r.Fitted.High))
}

// asShare writes .40 for 0.4 and 1.00 for 1.
func asShare(v float64) string { return strings.TrimPrefix(fmt.Sprintf("%.2f", v), "0") }

// LogIntensity is log λ at a place for effort at its median over the area, from
// the logarithms of its requisites and Σ log m. Presences alone know λ up to a
// factor: differences count, never the number itself.
func (c *Calibration) LogIntensity(logR []float64, logM float64) float64 {
	eta := c.Intercept + logM
	for g, r := range c.Rows {
		eta += r.B.Value * logR[g]
	}
	if c.Gamma.Value != 0 {
		eta += c.Gamma.Value * math.Log(c.Median+c.E0)
	}
	return eta
}

// DrawIntensity is log λ under draw d of the bootstrap, up to a constant of the
// draw.
func (c *Calibration) DrawIntensity(d int, logR []float64, logM float64) float64 {
	for g, b := range c.Draws[d] {
		logM += b * logR[g]
	}
	return logM
}

// result fits all records under the chosen κ and τ.
func (c *calibrator) result(ctx context.Context, scores []CrossScore) (*Calibration, error) {
	best := chooseScore(scores, c.o.Taus, c.o.Caution)
	out := &Calibration{Kappa: best.Kappa, Tau: best.Tau, Scores: scores, Folds: c.folds, E0: c.e0, Median: c.median}
	out.OverNull = gainOver(best, scores[0])
	out.OverExperts = gainOver(best, bestOf(scores, func(s CrossScore) bool { return s.Tau == 0 && s.Kappa > 0 }))
	fit, err := c.priors(c.mean(best.Kappa), best.Tau).solver(c.points, c.area).run(ctx, FitOptions{})
	if err != nil {
		return nil, err
	}
	out.Fit = fit
	c.describe(out)
	return out, nil
}

func (c *calibrator) describe(out *Calibration) {
	b := out.Fit.Coef[:len(c.names)]
	fitted, ok := positiveShares(b)
	for g, name := range c.names {
		if b[g] < 0 {
			out.Negative = append(out.Negative, name)
		}
		out.Rows = append(out.Rows, WeightRow{Requisite: name, Expert: c.expert[g], B: FitInterval{Value: b[g]},
			Fitted: FitInterval{Value: fitted[g]}, OK: ok})
		out.Sum.Value += b[g]
	}
	out.Intercept = out.Fit.Coef[len(c.names)]
	if !c.o.WithoutEffort {
		out.Gamma.Value = out.Fit.Coef[len(c.names)+1]
	}
	out.Acceptable = ok && len(out.Negative) == 0
}

// positiveShares are b over their sum, what is below 0 taken as 0.
func positiveShares(b []float64) ([]float64, bool) {
	out := make([]float64, len(b))
	sum := 0.0
	for g, v := range b {
		out[g] = max(0, v)
		sum += out[g]
	}
	if sum == 0 {
		return out, false
	}
	for g := range out {
		out[g] /= sum
	}
	return out, true
}
