package evidence

import (
	"fmt"
	"math"
	"slices"
)

// JointSite is a visited site: what a fitted intensity says of it, and its visits
// with their finds by method. Blanks count: they are what tells how common the
// species is, which presences alone cannot.
type JointSite struct {
	LogIntensity  float64 // log λ, up to a constant that all sites share
	Finds, Visits []int   // by method
}

// BetaPrior is p ~ Beta(A, B); the zero value is Beta(1, 1), every p alike.
type BetaPrior struct{ A, B float64 }

func (b BetaPrior) orUniform() BetaPrior {
	if b == (BetaPrior{}) {
		return BetaPrior{1, 1}
	}
	return b
}

// JointOptions states every prior of the joint fit.
type JointOptions struct {
	Methods   []string
	Detection []BetaPrior // p of each method; nil: every p alike
	// Typical is ψ at the median of the sites' log λ; the zero value holds every ψ
	// there alike.
	Typical BetaPrior
	// Intensities are draws of the sites' log λ, [draw][site], from the bootstrap
	// of the calibration: the visits are then fitted to each in turn, so that the
	// interval of ψ holds the doubt about the weights as well. A draw may leave out
	// its intercept: each is taken from its own median. Nil: log λ as given.
	Intensities [][]float64
	Draws       int // 0: 4000, or one for each of Intensities
	Seed        uint64
}

// JointOccupancy turns intensity into occupancy with one intercept:
//
//	ψ(x) = 1 − exp(−A λ(x)),   log(A λ) = Scale + log λ(x) − Reference
//
// visits to site i are a find with ψ_i p_m, and a blank otherwise, as in
// [Occupancy]. Intervals are of 80 %, from the posterior.
type JointOccupancy struct {
	Reference float64     // median log λ of the sites
	Scale     FitInterval // log(−log(1 − ψ)) at the reference; the value is the median
	Methods   []string
	Detection []FitInterval // p by method; the value is the median
	Sites     int           // with a visit
	Found     int           // with a find
	Visits    int
	Draws     []JointDraw
	// RHat compares the two halves of each of four chains (Gelman A, Rubin DB
	// (1992) Statistical Science 7:457-472); near 1 is well.
	RHat float64
}

// JointDraw is one draw from the posterior.
type JointDraw struct {
	Reference float64 // median log λ of the visited sites in this draw
	Scale     float64
	P         []float64 // by method
}

// Psi is ψ where log λ is as given: the median and the 10th and 90th percentile.
// It rises with λ, so the percentiles of Scale give those of ψ. A surface that is
// to hold the doubt about the weights takes PsiDraws instead.
func (j *JointOccupancy) Psi(logIntensity float64) FitInterval {
	at := func(scale float64) float64 { return occupiedAt(scale + logIntensity - j.Reference) }
	return FitInterval{Value: at(j.Scale.Value), Low: at(j.Scale.Low), High: at(j.Scale.High)}
}

// PsiDraws is ψ at a place from its draws of log λ, in the order of the sites'
// Intensities.
func (j *JointOccupancy) PsiDraws(logIntensities []float64) (FitInterval, error) {
	if len(logIntensities) != len(j.Draws) {
		return FitInterval{}, fmt.Errorf("evidence: %d draws of intensity for %d draws of the joint fit", len(logIntensities), len(j.Draws))
	}
	psi := make([]float64, len(logIntensities))
	for d, l := range logIntensities {
		psi[d] = occupiedAt(j.Draws[d].Scale + l - j.Draws[d].Reference)
	}
	return middleOf(psi), nil
}

// occupiedAt is 1 − exp(−exp(x)).
func occupiedAt(x float64) float64 { return -math.Expm1(-math.Exp(x)) }

// middleOf is the median with the 10th and 90th percentiles; it sorts values.
func middleOf(values []float64) FitInterval {
	i := FitInterval{}
	i.around(values)
	i.Value = sortedQuantile(values, .5)
	return i
}

// FitJoint draws from the posterior of Scale and of each method's p. It works from
// one site on; with few, the priors speak.
func FitJoint(sites []JointSite, o JointOptions) (*JointOccupancy, error) {
	if o.Detection == nil {
		o.Detection = make([]BetaPrior, len(o.Methods))
	}
	if err := checkJoint(sites, o); err != nil {
		return nil, err
	}
	j := &JointOccupancy{Methods: o.Methods}
	for _, s := range sites {
		visits := sumInts(s.Visits)
		if visits == 0 {
			continue
		}
		j.Sites++
		j.Visits += visits
		if sumInts(s.Finds) > 0 {
			j.Found++
		}
	}
	if j.Sites == 0 {
		return nil, fmt.Errorf("%w: no visit to fit occupancy to", ErrUndefined)
	}
	j.Reference = medianIntensity(sites, func(i int) float64 { return sites[i].LogIntensity })
	j.sample(sites, o)
	return j, nil
}

// medianIntensity is over sites with a visit.
func medianIntensity(sites []JointSite, logIntensity func(i int) float64) float64 {
	var logs []float64
	for i, s := range sites {
		if sumInts(s.Visits) > 0 {
			logs = append(logs, logIntensity(i))
		}
	}
	slices.Sort(logs)
	return sortedQuantile(logs, .5)
}

func sumInts(values []int) int {
	sum := 0
	for _, v := range values {
		sum += v
	}
	return sum
}

func checkJoint(sites []JointSite, o JointOptions) error {
	if len(o.Methods) == 0 || len(o.Detection) != len(o.Methods) {
		return fmt.Errorf("evidence: %d methods with %d priors of detection; one of each is needed", len(o.Methods), len(o.Detection))
	}
	for m, b := range append(slices.Clone(o.Detection), o.Typical) {
		if b = b.orUniform(); !(b.A > 0 && b.B > 0) || !finite(b.A) || !finite(b.B) {
			return fmt.Errorf("evidence: prior %d is Beta(%g, %g); both must be above 0", m, b.A, b.B)
		}
	}
	for i, s := range sites {
		if len(s.Finds) != len(o.Methods) || len(s.Visits) != len(o.Methods) || !finite(s.LogIntensity) {
			return fmt.Errorf("evidence: site %d needs a finite intensity and finds and visits for each of %d methods", i, len(o.Methods))
		}
		for m := range s.Visits {
			if s.Finds[m] < 0 || s.Finds[m] > s.Visits[m] {
				return fmt.Errorf("evidence: site %d: %d finds in %d visits by %s", i, s.Finds[m], s.Visits[m], o.Methods[m])
			}
		}
	}
	for d, draw := range o.Intensities {
		if len(draw) != len(sites) {
			return fmt.Errorf("evidence: draw %d has %d intensities for %d sites", d, len(draw), len(sites))
		}
	}
	return nil
}
