package suitability

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// identity rates a number by itself.
var identity = Curve{{0, 0}, {1, 1}}

func scoreOf(rule Rule, n int) FeatureScore {
	s := FeatureScore{Rule: rule}
	for i := range n {
		s.Attributes = append(s.Attributes, AttributeRating{Field: fmt.Sprintf("si%d", i+1), Weight: 1, Curve: identity})
	}
	return s
}

func attributesOf(values ...float64) map[string]string {
	m := map[string]string{}
	for i, v := range values {
		if !math.IsNaN(v) {
			m[fmt.Sprintf("si%d", i+1)] = fmt.Sprint(v)
		}
	}
	return m
}

// The pond index is the geometric mean of ten ratings, and of nine where one is
// omitted: Oldham RS, Keeble J, Swan MJS, Jeffcote M (2000), Herpetological
// Journal 10:143-155. The ratings are constructed; the means were computed with
// scipy.stats.gmean.
func TestScoreIsThePondIndex(t *testing.T) {
	pond := scoreOf(Rule{Kind: Geometric}, 10)
	unknown := math.NaN()
	for _, c := range []struct {
		ratings []float64
		want    float64
	}{
		{[]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1}, 1},
		{[]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 0.01}, 0.630957},
		{[]float64{1, 0.8, 0.9, 0.67, 1, 0.67, 0.67, 1, 0.67, 0.6}, 0.783390},
		{[]float64{1, unknown, 0.9, 0.67, 1, 0.67, 0.67, 1, 0.67, 0.6}, 0.781566},
		{[]float64{1, 0.4, 0.5, 0.33, 0.6, 0.67, 0.01, 0.65, 0.33, 0.4}, 0.343341},
	} {
		if got := pond.Score(attributesOf(c.ratings...)); math.Abs(got-c.want) > 5e-7 {
			t.Errorf("%v: %.6f, not %.6f", c.ratings, got, c.want)
		}
	}
	if got := pond.Score(attributesOf()); !math.IsNaN(got) {
		t.Errorf("a pond of which nothing is known scores %g", got)
	}
}

func TestScoreLeavesOutWhatSaysNothing(t *testing.T) {
	s := FeatureScore{Rule: Rule{Kind: Arithmetic}, Attributes: []AttributeRating{
		{Field: "area", Weight: 3, Curve: Curve{{0, 0}, {100, 1}}},
		{Field: "fish", Weight: 1, Words: map[string]float64{"none": 1, "possible": 0.5}},
	}}
	for _, c := range []struct {
		area, fish string
		want       float64
	}{
		{"50", "none", (3*0.5 + 1) / 4}, {" 50 ", "none ", (3*0.5 + 1) / 4}, {"1e9", "possible", (3 + 0.5) / 4},
		{"about 50", "none", 1}, {"", "possible", 0.5}, {"50", "carp", 0.5}, {"50", "", 0.5},
		{"NaN", "carp", math.NaN()}, {"Inf", "", math.NaN()}, {"50 m", "None", math.NaN()},
	} {
		got := s.Score(map[string]string{"area": c.area, "fish": c.fish})
		if got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("%q and %q: %g, not %g", c.area, c.fish, got, c.want)
		}
	}
	if got := s.Fields(); !slices.Equal(got, []string{"area", "fish"}) {
		t.Errorf("fields %q", got)
	}
}

// Laws of ordered weights over fewer ratings: a mean stays a mean, a greatest
// the greatest, a least the least, and the weights sum to what they did.
func TestOrderedScoresWithGaps(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	for range 200 {
		n := 2 + random.IntN(6)
		ratings := make([]float64, n)
		low, high, sum, known := 2.0, -1.0, 0.0, 0
		for i := range ratings {
			if ratings[i] = random.Float64(); random.IntN(3) == 0 {
				ratings[i] = math.NaN()
				continue
			}
			low, high, sum, known = min(low, ratings[i]), max(high, ratings[i]), sum+ratings[i], known+1
		}
		if known == 0 {
			continue
		}
		first, last, even := make([]float64, n), make([]float64, n), make([]float64, n)
		first[0], last[n-1] = 1, 1
		for i := range even {
			even[i] = 0.2
		}
		for _, c := range []struct{ weights, want []float64 }{{first, []float64{high}}, {last, []float64{low}}, {even, []float64{sum / float64(known)}}} {
			if got := scoreOf(Rule{Kind: Ordered, Weights: c.weights}, n).Score(attributesOf(ratings...)); math.Abs(got-c.want[0]) > 1e-12 {
				t.Fatalf("%v of %v: %g, not %g", c.weights, ratings, got, c.want)
			}
		}
		for i := range even {
			even[i] = random.Float64()
		}
		total, cut := 0.0, 0.0
		for _, v := range even {
			total += v
		}
		for _, v := range (Rule{Kind: Ordered, Weights: even}).fitted(known).Weights {
			cut += v
		}
		if math.Abs(total-cut) > 1e-12 {
			t.Fatalf("weights %v sum to %g after cutting", even, cut)
		}
	}
}

func TestScoreKeysTellScoresApart(t *testing.T) {
	words := func(w map[string]float64) FeatureScore {
		return FeatureScore{Attributes: []AttributeRating{{Field: "a", Weight: 1, Words: w}}}
	}
	number := func(field string, weight float64, rule Rule, c Curve) FeatureScore {
		return FeatureScore{Rule: rule, Attributes: []AttributeRating{{Field: field, Weight: weight, Curve: c}}}
	}
	seen := map[string]int{}
	for i, s := range []FeatureScore{
		words(map[string]float64{"x": 1}), words(map[string]float64{"x": 0.5}), words(map[string]float64{"y": 1}), words(map[string]float64{"x": 1, "y": 1}),
		number("a", 1, Rule{}, identity), number("b", 1, Rule{}, identity), number("a", 2, Rule{}, identity), number("a", 1, Rule{Kind: Minimum}, identity),
		number("a", 1, Rule{}, Curve{{0, 0}, {2, 1}}), scoreOf(Rule{}, 2),
	} {
		if before, known := seen[s.Key()]; known {
			t.Errorf("scores %d and %d have one key: %s", before, i, s.Key())
		}
		seen[s.Key()] = i
	}
	a, b := words(map[string]float64{"x": 1, "y": 0.2, "z": 0}), words(map[string]float64{"z": 0, "y": 0.2, "x": 1})
	if a.Key() != b.Key() {
		t.Error("equal scores have two keys")
	}
}

func TestFade(t *testing.T) {
	f := Fade{Curve{{0, 1}, {250, 1}, {600, 0.5}, {1200, 0.1}, {2500, 0.02}}}
	for metres, want := range map[float64]float64{0: 1, 250: 1, 425: 0.75, 600: 0.5, 2500: 0.02, 2500.001: 0, 1e9: 0} {
		if got := f.Factor(metres); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g m: %g, not %g", metres, got, want)
		}
	}
	if f.Limit() != 2500 || len(f.Validate("fade")) > 0 {
		t.Errorf("limit %g, %v", f.Limit(), f.Validate("fade"))
	}
	for _, wrong := range []Curve{nil, {{0, 1}}, {{-5, 1}, {5, 0}}, {{0, 0.5}, {5, 0.6}}, {{0, 1}, {0, 0}}, {{0, 2}, {5, 0}}} {
		if len(Fade{wrong}.Validate("fade")) == 0 {
			t.Errorf("%v passes for a fade", wrong)
		}
	}
}

func TestScoreSaysWhatIsWrong(t *testing.T) {
	good := AttributeRating{Field: "a", Weight: 1, Curve: identity}
	for what, s := range map[string]FeatureScore{
		"nothing": {}, "no weight": {Attributes: []AttributeRating{{Field: "a", Curve: identity}}},
		"twice": {Attributes: []AttributeRating{good, good}}, "no rating": {Attributes: []AttributeRating{{Field: "a", Weight: 1}}},
		"both":     {Attributes: []AttributeRating{{Field: "a", Weight: 1, Curve: identity, Words: map[string]float64{"x": 1}}}},
		"above 1":  {Attributes: []AttributeRating{{Field: "a", Weight: 1, Words: map[string]float64{"x": 1.1}}}},
		"no words": {Attributes: []AttributeRating{{Field: "a", Weight: 1, Words: map[string]float64{}}}},
		"ordered":  {Attributes: []AttributeRating{good}, Rule: Rule{Kind: Ordered, Weights: []float64{1, 0}}},
	} {
		if len(s.Validate("score")) == 0 {
			t.Errorf("%s: no error", what)
		}
	}
	if errs := (FeatureScore{Attributes: []AttributeRating{good}}).Validate("score"); len(errs) > 0 {
		t.Error(errs)
	}
}
