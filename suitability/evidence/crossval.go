package evidence

import (
	"context"
	"math"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"
)

// CrossScore is how well one κ and τ foretold the records of blocks that were
// held out.
type CrossScore struct {
	Kappa, Tau float64
	// LogLik is the mean over records of the log density of a held-out record's
	// place among the places of its fold,
	//
	//	log λ(x) − log Σ_j a_j λ(x_j),   j over the fold's quadrature,
	//
	// which leaves out the intercept, and with it how many records a fold has.
	LogLik float64
	ByFold []float64 // the same by fold

	byBlock []blockScore // in order of block
}

type blockScore struct {
	block  int32   // its place in the order of blocks
	weight float64 // of its records
	sum    float64 // weight × log density
}

// looseTolerance is enough where a fit is one of hundreds.
const looseTolerance = 1e-6

// crossValidate scores the null map (κ = τ = 0) first, then every κ and τ. A fold
// and κ is one task, so that the order of its warm starts does not depend on the
// number of workers.
func (c *calibrator) crossValidate(ctx context.Context) ([]CrossScore, error) {
	scores := c.grid()
	parts := make([][]foldScore, len(scores))
	for k := range parts {
		parts[k] = make([]foldScore, len(c.folds))
	}
	var mutex sync.Mutex
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(c.o.Workers)
	for f := range c.folds {
		for first := 0; first < len(scores); {
			last := first + 1
			for last < len(scores) && scores[last].Kappa == scores[first].Kappa {
				last++
			}
			from, to := first, last
			group.Go(func() error {
				err := c.scoreFold(ctx, f, scores[from:to], parts[from:to])
				mutex.Lock()
				defer mutex.Unlock()
				c.note()
				return err
			})
			first = last
		}
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	for k := range scores {
		scores[k].gather(parts[k])
	}
	return scores, nil
}

func (c *calibrator) grid() []CrossScore {
	scores := []CrossScore{{}}
	taus := slices.Clone(c.o.Taus)
	if !slices.Contains(taus, 0) { // the experts themselves are always judged
		taus = append(taus, 0)
	}
	slices.Sort(taus)
	for _, kappa := range c.o.Kappas {
		for _, tau := range taus {
			scores = append(scores, CrossScore{Kappa: kappa, Tau: tau})
		}
	}
	return scores
}

// scoreFold fits on all folds but f under each τ in turn, and scores f.
func (c *calibrator) scoreFold(ctx context.Context, f int, scores []CrossScore, into [][]foldScore) error {
	points, area := slices.Clone(c.points), slices.Clone(c.area)
	for i, fold := range c.fold {
		if fold == f {
			points[i], area[i] = 0, 0
		}
	}
	var start []float64
	for k, s := range scores {
		fit, err := c.priors(c.mean(s.Kappa), s.Tau).solver(points, area).run(ctx, FitOptions{Start: start, Tolerance: looseTolerance})
		if err != nil {
			return err
		}
		start = fit.Coef
		into[k][f] = c.heldOut(f, fit.Coef)
	}
	return nil
}

type foldScore struct {
	blocks []blockScore
}

// heldOut scores the records of fold f under coefficients that never saw them.
func (c *calibrator) heldOut(f int, b []float64) foldScore {
	norm := newLogSum()
	for i, fold := range c.fold {
		if fold == f && c.area[i] > 0 {
			norm.add(math.Log(c.area[i]) + c.design.eta(i, b))
		}
	}
	sums := map[int32]*blockScore{}
	for i, fold := range c.fold {
		if w := c.points[i]; fold == f && w > 0 {
			s := sums[c.block[i]]
			if s == nil {
				s = &blockScore{block: c.block[i]}
				sums[c.block[i]] = s
			}
			s.weight += w
			s.sum += w * (c.design.eta(i, b) - norm.value())
		}
	}
	var out foldScore
	for _, s := range sums {
		out.blocks = append(out.blocks, *s)
	}
	slices.SortFunc(out.blocks, func(a, b blockScore) int { return int(a.block) - int(b.block) })
	return out
}

func (s *CrossScore) gather(folds []foldScore) {
	var sum, weight float64
	for _, f := range folds {
		var foldSum, foldWeight float64
		for _, b := range f.blocks {
			foldSum, foldWeight = foldSum+b.sum, foldWeight+b.weight
		}
		s.ByFold = append(s.ByFold, foldSum/foldWeight)
		s.byBlock = append(s.byBlock, f.blocks...)
		sum, weight = sum+foldSum, weight+foldWeight
	}
	s.LogLik = sum / weight
}
