package evidence

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tussock/suitability"
)

// By hand.
func TestBrierByHand(t *testing.T) {
	r, err := Brier([]float64{.9, .2, .6, .1}, []bool{true, false, false, true})
	if err != nil || !r.HasSkill {
		t.Fatalf("%+v, %v", r, err)
	}
	near(t, "score", r.Score, (.01+.04+.36+.81)/4, 1e-12)
	near(t, "reference", r.Reference, .25, 1e-12)
	near(t, "skill", r.Skill, 1-.305/.25, 1e-12)
	if r, err := Brier([]float64{.5, .5}, []bool{true, true}); err != nil || r.HasSkill {
		t.Errorf("%+v, %v", r, err)
	}
	if _, err := Brier(nil, nil); !errors.Is(err, ErrUndefined) {
		t.Error(err)
	}
	if _, err := Brier([]float64{1.5}, []bool{true}); !errors.Is(err, ErrUnknown) {
		t.Error(err)
	}
}

// sitesOf are sites of one suitability with these numbers of finds.
func sitesOf(s float64, visits int, finds ...int) (sites []SiteVisits) {
	for _, y := range finds {
		sites = append(sites, SiteVisits{Suitability: s, Visits: visits, Finds: y})
	}
	return sites
}

// The Blue Ridge two-lined salamander in MacKenzie et al. (2006), Occupancy
// Estimation and Modeling, chapter 4: 39 sites, 5 visits, 18 sites with one find
// or more, 30 finds (from memory; printed ψ .59, p .26, AIC 165.76). Digits
// recomputed with scipy. Two identities hold at the maximum: ψ p* = 18/39 and
// ψ p = 30/195.
func TestCalibrationOfSalamanders(t *testing.T) {
	finds := make([]int, 39)
	for i := range 18 {
		finds[i] = 1
	}
	finds[0], finds[1], finds[2] = 5, 5, 5
	c, err := CalibrationByClass(sitesOf(.5, 5, finds...), nil)
	if err != nil || !c.HasDetection || len(c.Classes) != 1 {
		t.Fatalf("%+v, %v", c, err)
	}
	r := c.Classes[0]
	near(t, "share", r.Share, 18./39, 1e-12)
	near(t, "ψ", r.Psi, .5946225613, 1e-7)
	near(t, "p", c.Detection, .2587290894, 1e-7)
	near(t, "AIC", 2*2-2*c.LogLik, 165.7585894601, 1e-8)
	near(t, "ψ p*", r.Psi*seen(c.Detection, 5), 18./39, 1e-9)
	near(t, "ψ p", r.Psi*c.Detection, 30./195, 1e-8)
	if !(r.PsiLow < r.Psi-.1 && r.PsiHigh > r.Psi+.15 && r.PsiLow >= r.ShareLow) {
		t.Errorf("the interval %.4f to %.4f around %.4f", r.PsiLow, r.PsiHigh, r.Psi)
	}
	bruteProfile(t, c, r)
}

// bruteProfile looks the ends of the interval up on a fine grid of ψ and p.
func bruteProfile(t *testing.T, c CalibrationTable, r ClassCalibration) {
	t.Helper()
	best := func(psi float64) float64 {
		most := math.Inf(-1)
		for i := 1; i < 4000; i++ {
			p := float64(i) / 4000
			l := 18*math.Log(psi*math.Pow(1-p, 5)) + 30*math.Log(p/(1-p)) + 21*math.Log(1-psi+psi*math.Pow(1-p, 5))
			most = max(most, l)
		}
		return most
	}
	for _, end := range []float64{r.PsiLow, r.PsiHigh} {
		near(t, "drop of likelihood at an end", c.LogLik-best(end), z95*z95/2, 1e-4)
	}
}

func TestCalibrationThatCannotBeTold(t *testing.T) {
	classes := suitability.Classes{.5}
	for what, sites := range map[string][]SiteVisits{
		"single visits": append(sitesOf(.2, 1, 0, 0, 1), sitesOf(.8, 1, 1, 1, 0)...),
		"no find":       append(sitesOf(.2, 3, 0, 0), sitesOf(.8, 3, 0)...),
	} {
		c, err := CalibrationByClass(sites, classes)
		if err != nil || c.HasDetection || c.Classes[0].HasPsi || !c.Classes[1].HasShare {
			t.Errorf("%s: %+v, %v", what, c, err)
		}
	}
	c, err := CalibrationByClass(sitesOf(.8, 3, 0, 2, 1), classes)
	if err != nil || c.Classes[0].HasShare || c.Classes[0].HasPsi || !c.Classes[1].HasPsi {
		t.Errorf("a class without sites: %+v, %v", c, err)
	}
	for _, s := range []SiteVisits{{math.NaN(), 1, 0}, {.5, 1, 2}, {.5, -1, 0}} {
		if _, err := CalibrationByClass([]SiteVisits{s}, classes); !errors.Is(err, ErrUnknown) {
			t.Errorf("%+v: %v", s, err)
		}
	}
}

// Simulated visits: intervals of 95 % hold the true ψ at least 8 times in 10 and
// plain shares lie below it (seed printed; 20 districts, 3 classes).
func TestCalibrationFindsTheTruth(t *testing.T) {
	const seed, p = 20260601, .4
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 6))
	truth := []float64{.1, .4, .8}
	held, low := 0, 0
	for range 20 {
		var sites []SiteVisits
		for class, psi := range truth {
			for range 60 {
				s := SiteVisits{Suitability: .1 + .35*float64(class), Visits: 1 + r.IntN(4)}
				if r.Float64() < psi {
					for range s.Visits {
						if r.Float64() < p {
							s.Finds++
						}
					}
				}
				sites = append(sites, s)
			}
		}
		c, err := CalibrationByClass(sites, suitability.Classes{.3, .6})
		if err != nil || !c.HasDetection {
			t.Fatalf("%+v, %v", c, err)
		}
		for k, psi := range truth {
			if x := c.Classes[k]; x.PsiLow <= psi && psi <= x.PsiHigh {
				held++
			}
			if c.Classes[k].Share < psi {
				low++
			}
		}
	}
	t.Logf("%d of 60 intervals hold the truth, %d of 60 plain shares lie below it", held, low)
	if held < 48 || low < 50 {
		t.Error("corrected occupancy misses the truth, or plain shares do not")
	}
}
