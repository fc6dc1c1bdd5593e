package evidence

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// marks writes histories as text: 1 a find, 0 a blank, - no visit.
func marks(rows ...string) [][]VisitMark {
	var out [][]VisitMark
	for _, row := range rows {
		var site []VisitMark
		for _, c := range row {
			site = append(site, map[rune]VisitMark{'1': VisitFind, '0': VisitBlank, '-': VisitMissing}[c])
		}
		out = append(out, site)
	}
	return out
}

// salamanders have the sufficient statistics of the data (39 sites, 5 visits, 18
// sites with a find, 30 finds); how finds are spread over visits does not matter.
func salamanders() [][]VisitMark {
	var rows []string
	for range 12 {
		rows = append(rows, "01001")
	}
	for range 6 {
		rows = append(rows, "00010")
	}
	for range 21 {
		rows = append(rows, "00000")
	}
	return marks(rows...)
}

// Blue Ridge two-lined salamanders, MacKenzie DI et al. (2006) Occupancy
// Estimation and Modeling, chapter 4: .59 (.12), .26, AIC 165.76, from memory;
// recomputed from the sufficient statistics with scipy.
func TestSalamanders(t *testing.T) {
	var checks struct {
		Salamander struct {
			Psi, P, AIC, Naive float64
			SePsi              float64 `json:"se_psi"`
			SeP                float64 `json:"se_p"`
			MinusTwo           float64 `json:"minus2logL"`
		}
	}
	readChecks(t, "occupancy_checks.json", &checks)
	o, err := FitOccupancy(salamanders(), .95)
	if err != nil {
		t.Fatal(err)
	}
	s := checks.Salamander
	sameCoefs(t, "ψ, p, −2 log L, AIC, naive", []float64{o.Psi.Value, o.P.Value, o.MinusTwoLog, o.AIC, o.Naive}, []float64{s.Psi, s.P, s.MinusTwo, s.AIC, s.Naive}, 1e-8)
	sameCoefs(t, "standard errors", []float64{o.PsiSE, o.PSE}, []float64{s.SePsi, s.SeP}, 1e-5)
	found := -math.Expm1(5 * math.Log1p(-o.P.Value))
	sameCoefs(t, "ψ·p* and ψ·p", []float64{o.Psi.Value * found, o.Psi.Value * o.P.Value}, []float64{18. / 39, 30. / 195}, 1e-8)
	t.Logf("95 %% by profile: ψ %.3f to %.3f, p %.3f to %.3f", o.Psi.Low, o.Psi.High, o.P.Low, o.P.High)
}

// The profile at an end of the interval, by search over a fine grid, lies half a
// quantile of χ² (3.841459 at 95 %, tables) below the top.
func TestOccupancyIntervalsLieWhereTheProfileFalls(t *testing.T) {
	sites := salamanders()
	o, err := FitOccupancy(sites, .95)
	if err != nil {
		t.Fatal(err)
	}
	for _, psi := range []float64{o.Psi.Low, o.Psi.High} {
		top := math.Inf(-1)
		for p := .001; p < 1; p += .0005 {
			top = max(top, plainLogLik(sites, psi, p))
		}
		if drop := -2*top - o.MinusTwoLog; math.Abs(drop-3.841459) > 1e-3 && psi < 1 {
			t.Errorf("ψ = %g: twice the drop is %g", psi, drop)
		}
	}
}

// plainLogLik is the definition, site by site and visit by visit.
func plainLogLik(sites [][]VisitMark, psi, p float64) float64 {
	l := 0.0
	for _, site := range sites {
		history, blank := psi, 1-psi
		for _, m := range site {
			switch m {
			case VisitFind:
				history, blank = history*p, 0
			case VisitBlank:
				history *= 1 - p
			}
		}
		l += math.Log(history + blank)
	}
	return l
}

func randomHistories(rng *rand.Rand, sites, visits int, psi, p float64) [][]VisitMark {
	out := make([][]VisitMark, sites)
	for i := range out {
		there := rng.Float64() < psi
		for range visits {
			switch {
			case rng.Float64() < .3:
				out[i] = append(out[i], VisitMissing)
			case there && rng.Float64() < p:
				out[i] = append(out[i], VisitFind)
			default:
				out[i] = append(out[i], VisitBlank)
			}
		}
	}
	return out
}

// Missing visits anywhere: no point of a grid over (ψ, p) beats the fit, and the
// likelihood is that of the definition.
func TestOccupancyAgainstAGrid(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 21))
		sites := randomHistories(rng, 4+rng.IntN(30), 2+rng.IntN(5), rng.Float64(), .05+.9*rng.Float64())
		o, err := FitOccupancy(sites, .8)
		if errors.Is(err, ErrUndefined) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for psi := .01; psi < 1; psi += .01 {
			for p := .01; p < 1; p += .01 {
				if l := plainLogLik(sites, psi, p); -2*l < o.MinusTwoLog-1e-7 {
					t.Fatalf("seed %d: ψ %g p %g has −2 log L %g, the fit (ψ %g, p %g) %g", seed, psi, p, -2*l, o.Psi.Value, o.P.Value, o.MinusTwoLog)
				}
			}
		}
		if l := plainLogLik(sites, o.Psi.Value, o.P.Value); math.Abs(-2*l-o.MinusTwoLog) > 1e-6 {
			t.Errorf("seed %d: −2 log L is %g, by the definition %g", seed, o.MinusTwoLog, -2*l)
		}
		if o.Psi.Low > o.Psi.Value || o.Psi.High < o.Psi.Value || o.P.Low > o.P.Value || o.P.High < o.P.Value {
			t.Errorf("seed %d: %+v", seed, o)
		}
	}
}

func TestOccupancyAtItsEnds(t *testing.T) {
	o, err := FitOccupancy(marks("11", "11", "-11", "00"), .8)
	if err != nil {
		t.Fatal(err)
	}
	if o.Psi.Value != .75 || o.P.Value != 1 || o.P.High != 1 || o.Inside {
		t.Errorf("found on every visit where found at all: %+v", o)
	}
	o, err = FitOccupancy(marks("10", "00", "01", "00", "00", "10", "01", "10"), .8)
	if err != nil {
		t.Fatal(err)
	}
	if o.Psi.Value != 1 || o.Psi.High != 1 || o.Inside { // ψ = 1: p = 5/16 of all visits
		t.Errorf("few finds a site: %+v", o)
	}
	sameCoefs(t, "p where every site is occupied", []float64{o.P.Value}, []float64{5. / 16}, 1e-9)
}

func TestOccupancySaysWhatIsUndefined(t *testing.T) {
	for want, rows := range map[string][]string{
		"no visit found":            {"000", "0-0", "---"},
		"no site was visited twice": {"1--", "-0-", "1"},
	} {
		if o, err := FitOccupancy(marks(rows...), .8); !errors.Is(err, ErrUndefined) || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, %v; want %q", o, err, want)
		}
	}
	if _, err := FitOccupancy(salamanders(), 1); err == nil {
		t.Error("an interval of level 1 was given")
	}
}
