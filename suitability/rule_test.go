package suitability

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatal(err)
	}
}

// combined leaves its arguments as they were.
func combined(r Rule, R, W []float64) float64 {
	return r.combine(slices.Clone(R), slices.Clone(W))
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

// Rules of U.S. Fish and Wildlife Service (1981), Ecological Services Manual
// 103 (from memory); values recomputed with scipy.
func TestRulesAgainstHEPChecks(t *testing.T) {
	var checks struct {
		Combination struct {
			SI         []float64
			Arithmetic float64
			Geometric  float64
			Minimum    float64
			Weighted   float64 `json:"weighted_0.4_0.3_0.2_0.1"`
			WeightedG  float64 `json:"weighted_geometric"`
		}
	}
	readJSON(t, "hep_checks.json", &checks)
	c := checks.Combination
	equal, uneven := []float64{1, 1, 1, 1}, []float64{.4, .3, .2, .1}
	for _, x := range []struct {
		rule Rule
		W    []float64
		want float64
	}{
		{Rule{Kind: Arithmetic}, equal, c.Arithmetic},
		{Rule{Kind: Power, Exponent: 1}, equal, c.Arithmetic},
		{Rule{}, equal, c.Geometric},
		{Rule{Kind: Power, Exponent: 0}, equal, c.Geometric},
		{Rule{Kind: Minimum}, equal, c.Minimum},
		{Rule{Kind: Power, Exponent: math.Inf(-1)}, equal, c.Minimum},
		{Rule{Kind: Arithmetic}, uneven, c.Weighted},
		{Rule{}, uneven, c.WeightedG},
	} {
		near(t, x.rule.String(), combined(x.rule, c.SI, x.W), x.want, 1e-9)
	}
}

// Allen AW, Jordan PA, Terrell JW (1987), HSI models: moose, Lake Superior
// region, USFWS Biological Report 82(10.155), and its variants as given by
// Beazley K et al. (2005), Ecological Archives A015-068-A5. Inputs constructed,
// outputs recomputed with scipy.stats.gmean.
func TestMooseVariants(t *testing.T) {
	SI := []float64{.8, .6, .5, .9}
	near(t, "(SI1·SI2·SI3·SI4)^(1/4)", combined(Rule{}, SI, []float64{1, 1, 1, 1}), 0.6817316199, 1e-9)
	near(t, "(SI1·SI2·SI3)^(1/3)", combined(Rule{}, SI[:3], []float64{1, 1, 1}), 0.6214465012, 1e-9)
	near(t, "(SI1·SI2²·SI3²)^(1/5)", combined(Rule{}, SI[:3], []float64{1, 2, 2}), 0.5908353878, 1e-9)
}

// Own calculation: 0.70^0.45 · 1.00^0.30 · 0.94^0.25.
func TestSandLizardInASandPit(t *testing.T) {
	near(t, "sand lizard", combined(Rule{}, []float64{.70, 1, .94}, []float64{.45, .30, .25}), 0.8386, 5e-5)
}

// Yager RR (1988), IEEE Trans. SMC 18:183-190 (from memory), recomputed.
func TestOrderedWeightsAgainstYager(t *testing.T) {
	var checks struct {
		Yager []struct {
			W, A []float64
			OWA  float64
		}
		Measures []struct {
			W      []float64
			Orness float64
		}
		MaxEntropy map[string][]float64 `json:"max_entropy_n5"`
	}
	readJSON(t, "owa_checks.json", &checks)
	for _, c := range checks.Yager {
		near(t, "ordered", combined(Rule{Kind: Ordered, Weights: c.W}, c.A, c.A), c.OWA, 1e-12)
	}
	// Orness, Σ (n−i)·w_i/(n−1), is the ordered mean of evenly spaced values.
	for _, c := range checks.Measures {
		near(t, "orness", orness(c.W), c.Orness, 1e-12)
	}
	for level, w := range checks.MaxEntropy { // weights given to 4 decimals
		want, err := strconv.ParseFloat(level, 64)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "maximum-entropy orness", orness(w), want, 2e-4)
	}
}

func orness(w []float64) float64 {
	spaced := make([]float64, len(w))
	for i := range spaced {
		spaced[i] = float64(i) / float64(len(w)-1)
	}
	return combined(Rule{Kind: Ordered, Weights: w}, spaced, w)
}

// drawnRule and drawnRatings are what the laws are tried on.
func drawnRule(t *rapid.T, n int) Rule {
	r := Rule{Kind: RuleKind(rapid.IntRange(0, int(Power)).Draw(t, "rule"))}
	switch r.Kind {
	case Ordered:
		r.Weights = drawnWeights(t, n, "ordered weights")
	case Power:
		r.Exponent = rapid.OneOf(rapid.Float64Range(-50, 50), rapid.Float64Range(-1e-6, 1e-6)).Draw(t, "exponent")
	}
	return r
}

func drawnWeights(t *rapid.T, n int, what string) []float64 {
	return rapid.SliceOfN(rapid.Float64Range(0.01, 10), n, n).Draw(t, what)
}

func drawnRatings(t *rapid.T, n int) []float64 {
	one := rapid.OneOf(rapid.Float64Range(0.01, 1), rapid.SampledFrom([]float64{0, 0.01, 1}))
	return rapid.SliceOfN(one, n, n).Draw(t, "ratings")
}

func TestRulesAreMeans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		R, W, rule := drawnRatings(t, n), drawnWeights(t, n, "weights"), drawnRule(t, n)
		H := combined(rule, R, W)
		if !(H >= slices.Min(R)-1e-12 && H <= slices.Max(R)+1e-12) {
			t.Fatalf("%v of %v is %g, not between the least and the greatest", rule, R, H)
		}
	})
}

func TestRulesRiseWithEachRequisite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		R, W, rule := drawnRatings(t, n), drawnWeights(t, n, "weights"), drawnRule(t, n)
		before := combined(rule, R, W)
		i := rapid.IntRange(0, n-1).Draw(t, "which")
		R[i] = min(1, R[i]+rapid.Float64Range(0, 1).Draw(t, "more"))
		if after := combined(rule, R, W); after < before-1e-12 {
			t.Fatalf("%v fell from %g to %g as requisite %d rose", rule, before, after, i)
		}
	})
}

func TestWeightsAreScaleFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		R, W, rule := drawnRatings(t, n), drawnWeights(t, n, "weights"), drawnRule(t, n)
		k := rapid.Float64Range(0.001, 1000).Draw(t, "scale")
		scaled, ordered := slices.Clone(W), rule
		ordered.Weights = slices.Clone(rule.Weights)
		for i := range scaled {
			scaled[i] *= k
		}
		for i := range ordered.Weights {
			ordered.Weights[i] *= k
		}
		if a, b := combined(rule, R, W), combined(ordered, R, scaled); math.Abs(a-b) > 1e-12 {
			t.Fatalf("%v: weights %v give %g, times %g give %g", rule, W, a, k, b)
		}
	})
}

// Hardy GH, Littlewood JE, Pólya G (1934), Inequalities, theorem 16: M_r rises
// with r; so arithmetic ≥ geometric ≥ minimum.
func TestPowerMeansAreOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		R, W := drawnRatings(t, n), drawnWeights(t, n, "weights")
		low := rapid.Float64Range(-60, 60).Draw(t, "r")
		high := low + rapid.Float64Range(0, 20).Draw(t, "more")
		chain := []float64{
			combined(Rule{Kind: Minimum}, R, W),
			combined(Rule{Kind: Power, Exponent: min(low, -1e-9)}, R, W),
			combined(Rule{}, R, W),
			combined(Rule{Kind: Power, Exponent: 1e-9}, R, W),
			combined(Rule{Kind: Arithmetic}, R, W),
		}
		for i := 1; i < len(chain); i++ {
			if chain[i] < chain[i-1]-1e-12 {
				t.Fatalf("means of %v out of order: %v", R, chain)
			}
		}
		a, b := combined(Rule{Kind: Power, Exponent: low}, R, W), combined(Rule{Kind: Power, Exponent: high}, R, W)
		if b < a-1e-12 {
			t.Fatalf("M_%g = %g above M_%g = %g", low, a, high, b)
		}
	})
}

// Powers that can be written out by hand.
func TestPowerMeanAgainstItsDefinition(t *testing.T) {
	R, W := []float64{.2, .5, .9}, []float64{.5, .3, .2}
	for _, r := range []float64{-3, -1, -0.5, 0.5, 2, 7} {
		sum := 0.0
		for i := range R {
			sum += W[i] * math.Pow(R[i], r)
		}
		near(t, "M_r", combined(Rule{Kind: Power, Exponent: r}, R, W), math.Pow(sum, 1/r), 1e-14)
	}
	for _, r := range []float64{-1e-7, 1e-7} {
		near(t, "M_r near 0", combined(Rule{Kind: Power, Exponent: r}, R, W), combined(Rule{}, R, W), 1e-7)
	}
	near(t, "M_-∞", combined(Rule{Kind: Power, Exponent: -5000}, R, W), .2, 1e-4)
}

func TestOrderedIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		R := drawnRatings(t, n)
		first, last, equal := make([]float64, n), make([]float64, n), make([]float64, n)
		first[0], last[n-1] = 1, 1
		for i := range equal {
			equal[i] = 1
		}
		of := func(v []float64) float64 { return combined(Rule{Kind: Ordered, Weights: v}, R, equal) }
		mean := combined(Rule{Kind: Arithmetic}, R, equal)
		if of(first) != slices.Max(R) || of(last) != slices.Min(R) || math.Abs(of(equal)-mean) > 1e-12 {
			t.Fatalf("(1,0,…) %g, (…,0,1) %g, equal %g of %v", of(first), of(last), of(equal), R)
		}
	})
}

func TestAZeroForbidsUnderTheGeometricMean(t *testing.T) {
	if H := combined(Rule{}, []float64{0, 1, 1}, []float64{.01, 1, 1}); H != 0 {
		t.Errorf("geometric mean with a zero is %g", H)
	}
}
