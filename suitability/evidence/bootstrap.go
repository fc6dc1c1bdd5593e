package evidence

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"
)

// bootstrap redraws whole blocks, records and quadrature together, with
// replacement, and fits each draw. Two things keep the intervals from being too
// narrow. κ and τ are chosen anew, by the held-out scores of the drawn blocks, and
// among τ above 0: where the experts stand, it is for want of proof. And prior
// means are drawn from N(κ W_g, τ²): a fit pulled towards one fixed prior
// would look surer the less the records say; this way the interval is the prior's
// own where they say nothing, and for a Gaussian likelihood the draws are draws
// from the posterior.
//
// Draw d is seeded by (seed, d), whichever worker makes it.
func (c *calibrator) bootstrap(ctx context.Context, out *Calibration) error {
	draws := make([][]float64, c.o.Draws)
	var mutex sync.Mutex
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(c.o.Workers)
	for d := range draws {
		group.Go(func() error {
			b, err := c.draw(ctx, out, rand.New(rand.NewPCG(c.o.Seed, uint64(d))))
			mutex.Lock()
			defer mutex.Unlock()
			c.note()
			draws[d] = b
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	kept := slices.DeleteFunc(draws, func(b []float64) bool { return b == nil })
	out.Failed = c.o.Draws - len(kept)
	if out.Failed*5 > c.o.Draws {
		return fmt.Errorf("evidence: %d of %d draws of the bootstrap could not be fitted; the intervals would be a guess", out.Failed, c.o.Draws)
	}
	c.intervals(out, kept)
	return nil
}

// draw is one refit; nil where the drawn blocks cannot be fitted.
func (c *calibrator) draw(ctx context.Context, out *Calibration, rng *rand.Rand) ([]float64, error) {
	times := make([]float64, c.blocks)
	for range times {
		times[rng.IntN(len(times))]++
	}
	points, area := make([]float64, len(c.points)), make([]float64, len(c.area))
	for i, b := range c.block {
		points[i], area[i] = c.points[i]*times[b], c.area[i]*times[b]
	}
	kappa, tau := chooseAgain(out.Scores, times)
	mean := c.mean(kappa)
	for g := range mean {
		mean[g] += tau * rng.NormFloat64()
	}
	fit, err := c.priors(mean, tau).solver(points, area).run(ctx, FitOptions{Start: out.Fit.Coef, Tolerance: looseTolerance})
	if unfit(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return fit.Coef, nil
}

// chooseAgain is the best κ and τ by the scores of blocks taken so many times,
// with τ above 0 if any was tried.
func chooseAgain(scores []CrossScore, times []float64) (kappa, tau float64) {
	best, widest := math.Inf(-1), 0.0
	for _, s := range scores {
		widest = max(widest, s.Tau)
	}
	for _, s := range scores {
		if s.Kappa == 0 || s.Tau == 0 && widest > 0 {
			continue
		}
		sum := 0.0
		for _, b := range s.byBlock {
			sum += times[b.block] * b.sum
		}
		if sum > best {
			best, kappa, tau = sum, s.Kappa, s.Tau
		}
	}
	return kappa, tau
}

// unfit says whether an error is the fault of what was drawn.
func unfit(err error) bool {
	var collinear *CollinearError
	var separated *SeparationError
	var late *NotConvergedError
	return errors.As(err, &collinear) || errors.As(err, &separated) || errors.As(err, &late) || errors.Is(err, ErrNoPoints)
}

// intervals are the 10th and 90th percentiles of the draws.
func (c *calibrator) intervals(out *Calibration, draws [][]float64) {
	n := len(c.names)
	column := func(value func(b []float64) (float64, bool)) []float64 {
		var values []float64
		for _, b := range draws {
			if v, ok := value(b); ok {
				values = append(values, v)
			}
		}
		return values
	}
	for g := range c.names {
		out.Rows[g].B.around(column(func(b []float64) (float64, bool) { return b[g], true }))
		out.Rows[g].Fitted.around(column(func(b []float64) (float64, bool) {
			shares, ok := positiveShares(b[:n])
			return shares[g], ok
		}))
	}
	out.Sum.around(column(func(b []float64) (float64, bool) { return sumOf(b[:n]), true }))
	if !c.o.WithoutEffort {
		out.Gamma.around(column(func(b []float64) (float64, bool) { return b[n+1], true }))
	}
	for _, b := range draws {
		out.Draws = append(out.Draws, b[:n:n])
	}
}

func (i *FitInterval) around(values []float64) {
	if len(values) > 0 {
		slices.Sort(values)
		i.Low, i.High = sortedQuantile(values, .1), sortedQuantile(values, .9)
	}
}
