package evidence

import (
	"fmt"
	"math"

	"tussock/suitability"
)

// SiteVisits is a site with all its visits of one season.
type SiteVisits struct {
	Suitability float64
	Visits      int // with a result, found or blank
	Finds       int // visits that found the species
}

// ClassCalibration is what visits found in a class of suitability.
type ClassCalibration struct {
	Class           int
	Sites           int // visited at least once
	Visits          int
	Found           int     // sites with at least one find
	MeanSuitability float64 // of the sites

	// Share is Found / Sites, which misses what the visits missed, with the 95 %
	// interval of Wilson (1927). HasShare is false without sites.
	Share, ShareLow, ShareHigh float64
	HasShare                   bool

	// Psi is the share of sites that hold the species, corrected for detection,
	// with a 95 % interval by profile likelihood. HasPsi is false without sites,
	// and wherever detection cannot be told.
	Psi, PsiLow, PsiHigh float64
	HasPsi               bool
}

// CalibrationTable is occupancy by class of suitability.
type CalibrationTable struct {
	Classes      []ClassCalibration // all classes, those without sites too
	Detection    float64            // p, the chance that a visit finds what is there; one for all classes (an assumption)
	HasDetection bool               // false without a repeated visit and without a find
	LogLik       float64            // at the maximum; binomial constants left out
}

// CalibrationByClass compares classes with visits: the plain share of sites with a
// find, and occupancy corrected for detection, by maximum likelihood of
//
//	L = Π_i ψ_c p^y (1 − p)^(K−y) + (1 − ψ_c)·1[y = 0]
//
// over sites i of class c with y finds in K visits (MacKenzie et al. 2002,
// Ecology 83:2248-2255), ψ by class, p common to all. Sites without visits take
// no part.
func CalibrationByClass(sites []SiteVisits, classes suitability.Classes) (CalibrationTable, error) {
	if err := classes.Check(); err != nil {
		return CalibrationTable{}, err
	}
	c := CalibrationTable{Classes: make([]ClassCalibration, len(classes)+1)}
	groups := make([]occupied, len(classes)+1)
	for i, s := range sites {
		class := classes.Of(s.Suitability)
		if class < 0 || s.Visits < 0 || s.Finds < 0 || s.Finds > s.Visits {
			return CalibrationTable{}, fmt.Errorf("%w: site %d has suitability %g, %d finds in %d visits", ErrUnknown, i, s.Suitability, s.Finds, s.Visits)
		}
		if s.Visits > 0 {
			c.Classes[class].count(s)
			groups[class].count(s)
		}
	}
	for k := range c.Classes {
		c.Classes[k].shares(k)
	}
	c.correct(groups)
	return c, nil
}

func (c *ClassCalibration) count(s SiteVisits) {
	c.Sites++
	c.Visits += s.Visits
	c.MeanSuitability += s.Suitability
	if s.Finds > 0 {
		c.Found++
	}
}

func (c *ClassCalibration) shares(class int) {
	c.Class = class
	if c.HasShare = c.Sites > 0; !c.HasShare {
		return
	}
	c.MeanSuitability /= float64(c.Sites)
	c.Share = float64(c.Found) / float64(c.Sites)
	c.ShareLow, c.ShareHigh = wilson(int64(c.Found), int64(c.Sites))
}

// correct fills occupancy in where detection can be told.
func (c *CalibrationTable) correct(groups []occupied) {
	if !detectable(groups) {
		return
	}
	c.Detection, c.LogLik = mostLikelyDetection(func(p float64) float64 { return profileOf(groups, p, -1, 0) })
	c.HasDetection = true
	for k := range groups {
		if groups[k].sites == 0 {
			continue
		}
		r := &c.Classes[k]
		r.HasPsi = true
		r.Psi = groups[k].bestPsi(c.Detection)
		r.PsiLow, r.PsiHigh = psiInterval(groups, k, r.Psi, c.LogLik)
	}
}

// psiInterval holds every ψ of a class whose likelihood, the rest at its best, is
// within ½·χ²(0.95; 1) of the greatest.
func psiInterval(groups []occupied, class int, best, logLik float64) (low, high float64) {
	within := func(psi float64) bool {
		_, l := mostLikelyDetection(func(p float64) float64 { return profileOf(groups, p, class, psi) })
		return l >= logLik-z95*z95/2
	}
	return edgeOf(0, best, within), edgeOf(1, best, within)
}

// edgeOf halves the way between an end, which may lie outside, and the best,
// which lies within.
func edgeOf(end, best float64, within func(float64) bool) float64 {
	if within(end) {
		return end
	}
	inside, outside := best, end
	for math.Abs(inside-outside) > 1e-6 {
		middle := (inside + outside) / 2
		if within(middle) {
			inside = middle
		} else {
			outside = middle
		}
	}
	return inside
}
