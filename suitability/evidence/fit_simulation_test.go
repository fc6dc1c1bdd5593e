package evidence

import (
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
)

const simulationSeeds = 40

// simulated is what calibrations did to agreement with a known truth.
type simulated struct {
	expert, fitted, change []float64 // sorted
	covered                float64   // share of intervals with the true weight inside
	better, worse, shown   int       // shown: over the null
}

func simulate(t *testing.T, n int, expertError float64, biased bool, o CalibrateOptions) simulated {
	t.Helper()
	out := simulated{}
	inside, rows := 0, 0
	var wait sync.WaitGroup
	var mutex sync.Mutex
	seeds := make(chan uint64)
	for range 2 {
		wait.Go(func() {
			for seed := range seeds {
				rng := rand.New(rand.NewPCG(seed, 2026))
				w := newWorld(rng, expertError, -.6)
				c := mustCalibrate(t, w.data(w.records(rng, n, biased)), o)
				before, after := w.agreement(w.expert), w.agreement(coefficients(c))
				if !c.Acceptable && !o.WithoutEffort {
					after = before // a fit with b < 0 is not accepted
				}
				mutex.Lock()
				out.add(before, after, c.OverNull.Shown())
				for g, r := range c.Rows {
					rows++
					if r.Fitted.Low <= w.truth[g] && w.truth[g] <= r.Fitted.High {
						inside++
					}
				}
				mutex.Unlock()
			}
		})
	}
	for seed := range uint64(simulationSeeds) {
		seeds <- seed
	}
	close(seeds)
	wait.Wait()
	slices.Sort(out.expert)
	slices.Sort(out.fitted)
	slices.Sort(out.change)
	out.covered = float64(inside) / float64(rows)
	t.Logf("%d seeds (0 to %d, 2026), %d records: agreement with the truth, experts median %.3f worst %.3f, fitted median %.3f worst %.3f; change median %+.3f worst %+.3f; better %d, worse %d; 80 %% intervals hold %.0f %%",
		simulationSeeds, simulationSeeds-1, n, sortedQuantile(out.expert, .5), out.expert[0], sortedQuantile(out.fitted, .5), out.fitted[0],
		sortedQuantile(out.change, .5), out.change[0], out.better, out.worse, 100*out.covered)
	return out
}

func (s *simulated) add(before, after float64, shown bool) {
	s.expert, s.fitted, s.change = append(s.expert, before), append(s.fitted, after), append(s.change, after-before)
	switch {
	case after > before+1e-9:
		s.better++
	case after < before-1e-9:
		s.worse++
	}
	if shown {
		s.shown++
	}
}

func (s simulated) median() float64 { return sortedQuantile(s.change, .5) }

// Recording effort is low where the strongest requisite is good (r about −.6),
// experts err by a factor of exp(N(0, .5²)) a weight: our own simulation, of a
// stress case. Where records must move the weights (τ above 0), fitting without
// saying where people looked makes a good expert map worse, and the intervals lie:
// that is why it is refused unless asked for. The same records with effort make it
// better, and so they do where the experts may stand.
func TestBiasedRecordsNeedEffort(t *testing.T) {
	moving := CalibrateOptions{WithoutEffort: true, Taus: []float64{.3, .7, 1.5}, Eager: true, Draws: 60}
	without := simulate(t, 200, .5, true, moving)
	if without.median() > -.02 || without.worse <= 2*without.better || without.covered > .65 {
		t.Errorf("without effort: %+v", without)
	}
	moving.WithoutEffort = false
	with := simulate(t, 200, .5, true, moving)
	if with.median() <= 0 || with.better <= 2*with.worse || with.change[0] < -.05 || with.covered < .65 {
		t.Errorf("with effort: %+v", with)
	}
	cautious := simulate(t, 200, .5, true, CalibrateOptions{Draws: 60})
	if cautious.median() < 0 || cautious.better <= 4*cautious.worse || cautious.change[0] < -.02 || cautious.covered < .65 {
		t.Errorf("with effort, in doubt the experts: %+v", cautious)
	}
}

// From even recording, with few records and with many, for fair experts and for
// poor ones.
func TestUnbiasedRecordsNeverMakeExpertsMuchWorse(t *testing.T) {
	for _, c := range []struct {
		n      int
		errors float64
	}{{25, .5}, {60, 1}, {200, .5}} {
		s := simulate(t, c.n, c.errors, false, CalibrateOptions{Draws: 60})
		if s.median() < 0 || s.change[0] < -.05 || s.worse > s.better || s.covered < .65 {
			t.Errorf("%d records, experts' error %g: %+v", c.n, c.errors, s)
		}
	}
}

// An honest null: records that follow effort and nothing else. The gain over a
// map that knows only effort must not be shown, save by chance, and what is
// shown of real habitat stays shown.
func TestNoiseShowsNoSkill(t *testing.T) {
	shown := 0
	for seed := range uint64(simulationSeeds) {
		rng := rand.New(rand.NewPCG(seed, 404))
		w := newWorld(rng, .5, -.6)
		w.kappa = 0
		if c := mustCalibrate(t, w.data(w.records(rng, 100, true)), CalibrateOptions{Draws: 10}); c.OverNull.Shown() {
			shown++
		}
	}
	habitat := simulate(t, 100, .5, true, CalibrateOptions{Draws: 60}).shown
	t.Logf("seeds 0 to %d: skill shown for noise in %d, for habitat in %d", simulationSeeds-1, shown, habitat)
	if shown > 6 || habitat < 32 { // 5 % a seed: P(more than 6 of 40) is .003
		t.Errorf("skill shown for noise in %d of %d seeds, for habitat in %d", shown, simulationSeeds, habitat)
	}
}
