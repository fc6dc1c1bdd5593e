package evidence

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// byMethod turns histories of one method into sites of one intensity.
func byMethod(sites [][]VisitMark, logIntensity float64) []JointSite {
	var out []JointSite
	for _, site := range sites {
		s := JointSite{LogIntensity: logIntensity, Finds: []int{0}, Visits: []int{0}}
		for _, m := range site {
			if m != VisitMissing {
				s.Visits[0]++
			}
			if m == VisitFind {
				s.Finds[0]++
			}
		}
		out = append(out, s)
	}
	return out
}

// With one intensity everywhere the joint likelihood is that of constant ψ and p.
func TestJointLikelihoodAtConstantIntensity(t *testing.T) {
	sites := salamanders()
	for _, x := range [][2]float64{{.5946225613, .2587290894}, {.2, .7}, {.99, .01}} {
		q := newJoint(byMethod(sites, 0), JointOptions{Methods: []string{"walk"}})
		scale := math.Log(-math.Log1p(-x[0]))
		q.detection, q.typical = []BetaPrior{{}}, BetaPrior{A: 1} // Beta(0, 0) of a logit is flat
		got, want := q.logPosterior([]float64{scale, math.Log(x[1] / (1 - x[1]))})-scale, plainLogLik(sites, x[0], x[1])
		sameCoefs(t, "joint log likelihood", []float64{got}, []float64{want}, 1e-10)
	}
}

// The posterior by sums over a fine grid of (ψ at the reference, p), for uniform
// and for informed priors.
func TestJointPosteriorAgainstAGrid(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 31))
	var sites []JointSite
	for i := range 14 {
		s := JointSite{LogIntensity: rng.NormFloat64() + 5, Visits: []int{1 + i%4}, Finds: []int{0}}
		if rng.Float64() < occupiedAt(s.LogIntensity-5.3) {
			for range s.Visits[0] {
				if rng.Float64() < .4 {
					s.Finds[0]++
				}
			}
		}
		sites = append(sites, s)
	}
	for _, o := range []JointOptions{
		{Methods: []string{"walk"}, Seed: 5, Draws: 8000},
		{Methods: []string{"walk"}, Seed: 6, Draws: 8000, Typical: BetaPrior{2, 5}, Detection: []BetaPrior{{4, 6}}},
	} {
		j, err := FitJoint(sites, o)
		if err != nil {
			t.Fatal(err)
		}
		psi, p := gridPosterior(sites, j.Reference, o)
		closeInterval(t, "ψ at the reference", j.Psi(j.Reference), psi)
		closeInterval(t, "p", j.Detection[0], p)
		if j.RHat > 1.02 {
			t.Errorf("chains disagree: %g", j.RHat)
		}
		t.Logf("ψ %.3f (%.3f to %.3f), grid %.3f (%.3f to %.3f); p %.3f, grid %.3f; R̂ %.4f", j.Psi(j.Reference).Value, j.Psi(j.Reference).Low,
			j.Psi(j.Reference).High, psi.Value, psi.Low, psi.High, j.Detection[0].Value, p.Value, j.RHat)
	}
}

func closeInterval(t *testing.T, what string, got, want FitInterval) {
	t.Helper()
	if math.Abs(got.Value-want.Value) > .015 || math.Abs(got.Low-want.Low) > .015 || math.Abs(got.High-want.High) > .015 {
		t.Errorf("%s: %+v, by the grid %+v", what, got, want)
	}
}

func gridPosterior(sites []JointSite, reference float64, o JointOptions) (psi, p FitInterval) {
	const n = 400
	overPsi, overP := make([]float64, n), make([]float64, n)
	a, b := o.Typical.orUniform(), BetaPrior{1, 1}
	if o.Detection != nil {
		b = o.Detection[0]
	}
	for i := range n {
		psi := (float64(i) + .5) / n
		for k := range n {
			p := (float64(k) + .5) / n
			density := math.Pow(psi, a.A-1) * math.Pow(1-psi, a.B-1) * math.Pow(p, b.A-1) * math.Pow(1-p, b.B-1)
			for _, s := range sites {
				here := 1 - math.Pow(1-psi, math.Exp(s.LogIntensity-reference))
				term := here * math.Pow(p, float64(s.Finds[0])) * math.Pow(1-p, float64(s.Visits[0]-s.Finds[0]))
				if s.Finds[0] == 0 {
					term += 1 - here
				}
				density *= term
			}
			overPsi[i] += density
			overP[k] += density
		}
	}
	return quantilesOf(overPsi), quantilesOf(overP)
}

// quantilesOf a density over even steps of 0 to 1.
func quantilesOf(density []float64) FitInterval {
	total := sumOf(density)
	at := func(q float64) float64 {
		sum := 0.0
		for i, d := range density {
			if sum += d; sum >= q*total {
				return (float64(i) + .5) / float64(len(density))
			}
		}
		return 1
	}
	return FitInterval{Value: at(.5), Low: at(.1), High: at(.9)}
}

// One site, one blank visit, uniform priors: ψ and p uniform on the square times
// 1 − ψp. The median of ψ solves x − x²/4 = 3/8, so x = 2 − √2.5 = .41886.
func TestJointWithOneBlankVisit(t *testing.T) {
	j, err := FitJoint([]JointSite{{LogIntensity: -3, Finds: []int{0}, Visits: []int{1}}}, JointOptions{Methods: []string{"torch"}, Seed: 1, Draws: 20000})
	if err != nil {
		t.Fatal(err)
	}
	if psi := j.Psi(-3).Value; math.Abs(psi-(2-math.Sqrt(2.5))) > .015 {
		t.Errorf("median of ψ %g, by hand %g", psi, 2-math.Sqrt(2.5))
	}
}

// visitedSites draws sites, presence from ψ = 1 − exp(−exp(scale + log λ)), and visits
// by two methods of different detection.
func visitedSites(rng *rand.Rand, sites int, scale float64, p []float64) []JointSite {
	out := make([]JointSite, sites)
	for i := range out {
		s := JointSite{LogIntensity: 1.2 * rng.NormFloat64(), Finds: make([]int, len(p)), Visits: make([]int, len(p))}
		there := rng.Float64() < occupiedAt(scale+s.LogIntensity)
		for m := range p {
			s.Visits[m] = rng.IntN(4)
			for range s.Visits[m] {
				if there && rng.Float64() < p[m] {
					s.Finds[m]++
				}
			}
		}
		out[i] = s
	}
	return out
}

// Over worlds whose truth is drawn from the priors, an 80 % interval holds it in
// 80 % of them (Talts S et al. (2018) arXiv:1804.06788 build a test of samplers on
// this): for ψ, for p, with 6 sites and with 60.
func TestJointIntervalsHoldTheTruth(t *testing.T) {
	for _, sites := range []int{6, 40} {
		held, all := 0, 0
		for seed := range uint64(60) {
			rng := rand.New(rand.NewPCG(seed, 32))
			p := []float64{rng.Float64(), rng.Float64()}
			psi := rng.Float64() // at the median intensity, as the prior has it
			data := visitedSites(rng, sites, 0, p)
			j := worldAround(rng, data, psi, p)
			for m := range p {
				all++
				if j.Detection[m].Low <= p[m] && p[m] <= j.Detection[m].High {
					held++
				}
			}
			all++
			if at := j.Psi(j.Reference); at.Low <= psi && psi <= at.High {
				held++
			}
		}
		share := float64(held) / float64(all)
		t.Logf("%d sites, seeds 0 to 59: 80 %% intervals hold the truth in %.1f %% of %d", sites, 100*share, all)
		if math.Abs(share-.8) > .09 { // 3 standard errors of 180
			t.Errorf("%d sites: %g", sites, share)
		}
	}
}

// worldAround draws finds anew for the sites, with ψ as given at their median.
func worldAround(rng *rand.Rand, data []JointSite, psi float64, p []float64) *JointOccupancy {
	o := JointOptions{Methods: []string{"walk", "refuges"}, Seed: rng.Uint64(), Draws: 400}
	first, err := FitJoint(data, JointOptions{Methods: o.Methods, Draws: 4})
	if err != nil {
		panic(err)
	}
	for i, s := range data {
		there := rng.Float64() < 1-math.Pow(1-psi, math.Exp(s.LogIntensity-first.Reference))
		for m := range p {
			data[i].Finds[m] = 0
			for range s.Visits[m] {
				if there && rng.Float64() < p[m] {
					data[i].Finds[m]++
				}
			}
		}
	}
	j, err := FitJoint(data, o)
	if err != nil {
		panic(err)
	}
	return j
}

// Doubt about the intensity widens the interval of ψ, and the same seed gives the
// same draws.
func TestJointTakesDrawsOfIntensity(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 33))
	sites := visitedSites(rng, 40, 0, []float64{.6})
	o := JointOptions{Methods: []string{"walk"}, Seed: 3}
	plain, err := FitJoint(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := FitJoint(sites, o)
	if !reflect.DeepEqual(plain, again) {
		t.Error("the same seed gave other draws")
	}
	var place []float64
	for d := range 1000 { // the same λ to some power: doubt about Σb
		power := math.Exp(.5 * rng.NormFloat64())
		draw := make([]float64, len(sites))
		for i, s := range sites {
			draw[i] = power*s.LogIntensity + float64(d%7) // draws need no intercept
		}
		o.Intensities, place = append(o.Intensities, draw), append(place, -power+float64(d%7))
	}
	doubtful, err := FitJoint(sites, o)
	if err != nil {
		t.Fatal(err)
	}
	wide, err := doubtful.PsiDraws(place)
	if err != nil {
		t.Fatal(err)
	}
	narrow := plain.Psi(-1)
	t.Logf("ψ %.3f (%.3f to %.3f) without, %.3f (%.3f to %.3f) with doubt about the weights", narrow.Value, narrow.Low, narrow.High, wide.Value, wide.Low, wide.High)
	if wide.High-wide.Low <= narrow.High-narrow.Low {
		t.Errorf("no wider: %+v, %+v", wide, narrow)
	}
	if _, err := plain.PsiDraws(place); err == nil {
		t.Error("draws of another number were taken")
	}
}

func TestJointRefuses(t *testing.T) {
	one := JointOptions{Methods: []string{"walk"}}
	for name, sites := range map[string][]JointSite{
		"more finds than visits": {{Finds: []int{2}, Visits: []int{1}}},
		"no such method":         {{Finds: []int{0, 0}, Visits: []int{1, 1}}},
		"no number":              {{LogIntensity: math.Inf(-1), Finds: []int{0}, Visits: []int{1}}},
	} {
		if j, err := FitJoint(sites, one); err == nil {
			t.Errorf("%s: %+v", name, j)
		}
	}
	if _, err := FitJoint([]JointSite{{Finds: []int{0}, Visits: []int{0}}}, one); !errors.Is(err, ErrUndefined) {
		t.Errorf("no visit at all: %v", err)
	}
	if _, err := FitJoint(nil, JointOptions{Methods: []string{"walk"}, Typical: BetaPrior{-1, 1}}); err == nil {
		t.Error("Beta(−1, 1) was taken")
	}
}
