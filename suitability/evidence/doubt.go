package evidence

import (
	"errors"
	"fmt"
	"math"

	"tussock/suitability"
)

// Doubt is how the assumptions behind a map are varied. Each draw is a profile
// that its authors might as well have written:
//
//	weights    of requisites, and of criteria within each: Dirichlet(c·w), so that
//	           each keeps its mean w and has the variance w·(1−w)/(c+1)
//	curves     each knot's x·exp(N(0, KnotX²)) and y + N(0, KnotY²), y held within 0
//	           and 1; the knots' order stays, rises stay rises, and the heights of
//	           the two ends are kept
//	rule       one of Rules, each as likely as the others
//
// Measures are taken once: doubt about layers, records and the models of other
// species is not in it. The same draws serve every cell (common random numbers),
// so that neighbouring cells differ by their ground alone.
//
// The spreads are the project's own choice, an assumption.
type Doubt struct {
	Draws         int
	Seed          uint64
	Concentration float64 // c; +Inf leaves weights as stated
	KnotX         float64 // standard deviation of ln x; with KnotY 0, curves stay as stated
	KnotY         float64 // standard deviation of y
	Rules         []suitability.RuleKind
}

// DefaultDraws is how many draws are made where nobody says otherwise.
const DefaultDraws = 500

const (
	minDraws = 10
	maxDraws = 10000
)

// DefaultDoubt are the usual spreads.
func DefaultDoubt(draws int, seed uint64) Doubt {
	return Doubt{
		Draws: draws, Seed: seed, Concentration: 30, KnotX: 0.2, KnotY: 0.08,
		Rules: []suitability.RuleKind{suitability.Arithmetic, suitability.Geometric, suitability.Minimum},
	}
}

// ErrDraws is wrapped where the number of draws makes no sense.
var ErrDraws = errors.New("evidence: impossible draws")

// Check tells whether draws can be made so.
func (d Doubt) Check() error {
	switch {
	case d.Draws < minDraws || d.Draws > maxDraws:
		return fmt.Errorf("%w: %d is not from %d to %d", ErrDraws, d.Draws, minDraws, maxDraws)
	case !(d.Concentration > 0):
		return fmt.Errorf("%w: a concentration of %g", ErrDraws, d.Concentration)
	case !(d.KnotX >= 0 && d.KnotX <= 2 && d.KnotY >= 0 && d.KnotY <= 1):
		return fmt.Errorf("%w: knots spread by %g and %g", ErrDraws, d.KnotX, d.KnotY)
	}
	for _, k := range d.Rules {
		if k > suitability.Minimum {
			return fmt.Errorf("%w: rule %v needs numbers of its own", ErrDraws, k)
		}
	}
	return nil
}

func (d Doubt) variesWeights() bool { return !math.IsInf(d.Concentration, 1) }
func (d Doubt) variesCurves() bool  { return d.KnotX > 0 || d.KnotY > 0 }
func (d Doubt) variesRule() bool    { return len(d.Rules) > 0 }

// doubtSource is a source of doubt, or all together.
type doubtSource int

const (
	doubtAll doubtSource = iota
	doubtWeights
	doubtCurves
	doubtRule
	doubtSources // how many
)

var doubtNames = [...]string{"all", "weights", "curves", "rule"}

func (s doubtSource) weights() bool { return s == doubtAll || s == doubtWeights }
func (s doubtSource) curves() bool  { return s == doubtAll || s == doubtCurves }
func (s doubtSource) rule() bool    { return s == doubtAll || s == doubtRule }

// varies tells whether a source varies at all.
func (d Doubt) varies(s doubtSource) bool {
	switch s {
	case doubtWeights:
		return d.variesWeights()
	case doubtCurves:
		return d.variesCurves()
	case doubtRule:
		return d.variesRule()
	}
	return true
}
