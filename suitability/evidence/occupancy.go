package evidence

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// VisitMark is what one visit to a site brought.
type VisitMark uint8

const (
	VisitMissing VisitMark = iota // not made, or not usable
	VisitBlank
	VisitFind
)

// Occupancy is the single-season model with constant ψ (a site is occupied) and p
// (a visit to an occupied site finds the species), fitted by maximum likelihood:
//
//	L = Π_i [ ψ Π_t p^y (1−p)^(1−y) + (1−ψ)·1(no find) ]
//
// MacKenzie DI, Nichols JD, Lachman GB, Droege S, Royle JA, Langtimm CA (2002)
// Estimating site occupancy rates when detection probabilities are less than one.
// Ecology 83:2248-2255.
type Occupancy struct {
	Sites, Found, Visits int // sites with a visit, sites with a find, visits made
	Psi, P               FitInterval
	Level                float64 // of both intervals, by profile likelihood
	// PsiSE and PSE come from the inverse observed information. Inside is false,
	// and they mean nothing, where ψ or p lies at 1.
	PsiSE, PSE  float64
	Inside      bool
	Naive       float64 // share of sites with a find
	MinusTwoLog float64 // −2 log L of the histories, without binomial coefficients
	AIC         float64 // with two parameters
}

// FitOccupancy fits ψ and p to the sites' histories; each may have its own number
// of visits and missing ones anywhere. Intervals are at the given level, .80 for
// instance. ErrUndefined is wrapped where no visit found anything, or no site was
// visited twice: then only ψ·p is known.
func FitOccupancy(sites [][]VisitMark, level float64) (*Occupancy, error) {
	if !(level > 0 && level < 1) {
		return nil, fmt.Errorf("evidence: level %g of an interval; it must lie between 0 and 1", level)
	}
	c := countHistories(sites)
	switch {
	case c.found == 0:
		return nil, fmt.Errorf("%w: no visit found the species, so its detection is unknown", ErrUndefined)
	case c.most < 2:
		return nil, fmt.Errorf("%w: no site was visited twice, so occupancy and detection cannot be told apart", ErrUndefined)
	}
	p, top := c.best(c.overPsi)
	psi := c.psiAt(p)
	o := &Occupancy{Sites: c.sites, Found: c.found, Visits: c.visits, Level: level, Naive: float64(c.found) / float64(c.sites),
		MinusTwoLog: -2 * top, AIC: -2*top + 4, Psi: FitInterval{Value: psi}, P: FitInterval{Value: p}}
	drop := distuv.ChiSquared{K: 1}.Quantile(level) / 2
	o.Psi.Low, o.Psi.High = profileInterval(psi, top-drop, c.overP)
	o.P.Low, o.P.High = profileInterval(p, top-drop, func(p float64) float64 { _, l := c.overPsi(p); return l })
	o.PsiSE, o.PSE, o.Inside = c.standardErrors(psi, p)
	return o, nil
}

// profileInterval is where the profile crosses the floor on both sides of best,
// or the end of (0, 1) where it does not.
func profileInterval(best, floor float64, profile func(float64) float64) (low, high float64) {
	cross := func(inside, end float64) float64 {
		if profile(end) >= floor {
			return math.Round(end)
		}
		for range 60 {
			middle := (inside + end) / 2
			if profile(middle) >= floor {
				inside = middle
			} else {
				end = middle
			}
		}
		return inside
	}
	return cross(best, 1e-9), cross(best, 1-1e-9)
}

// histories are all that the likelihood needs of the sites.
type histories struct {
	sites, found, visits, most int
	finds, missed              float64   // over visits to sites with a find
	blank                      []float64 // [n]: sites without a find in n visits
}

func countHistories(sites [][]VisitMark) histories {
	var c histories
	for _, marks := range sites {
		visits, finds := 0, 0
		for _, m := range marks {
			if m != VisitMissing {
				visits++
			}
			if m == VisitFind {
				finds++
			}
		}
		c.add(visits, finds)
	}
	return c
}

func (c *histories) add(visits, finds int) {
	if visits == 0 {
		return
	}
	c.sites++
	c.visits += visits
	c.most = max(c.most, visits)
	if finds > 0 {
		c.found++
		c.finds += float64(finds)
		c.missed += float64(visits - finds)
		return
	}
	for len(c.blank) <= visits {
		c.blank = append(c.blank, 0)
	}
	c.blank[visits]++
}
