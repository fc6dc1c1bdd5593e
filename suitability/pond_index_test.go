package suitability

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"
)

// pondIndexCase is one case of the great crested newt pond index of Oldham et
// al. (2000), Herpetological Journal 10:143-155: the geometric mean of ten
// factors from 0.01 to 1, of nine where one is not known.
type pondIndexCase struct {
	Case string
	SI   []float64
	HSI  float64
	Band string
}

func pondIndexCases(t *testing.T) []pondIndexCase {
	t.Helper()
	raw, err := os.ReadFile("../testdata/references/gcn_hsi_cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []pondIndexCase
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) != 7 {
		t.Fatalf("%d cases", len(cases))
	}
	return cases
}

// pondBand is the word for an index that is rounded to two decimals, after ARG
// UK (2010), Advice Note 5. The printed bands run from 0.5 to 0.59 and so on,
// so without the rounding 0.595 would lie in none.
func pondBand(index float64) string {
	switch i := math.Round(index * 100); {
	case i < 50:
		return "poor"
	case i < 60:
		return "below average"
	case i < 70:
		return "average"
	case i < 80:
		return "good"
	}
	return "excellent"
}

// TestPondIndexByRule: the index is the geometric rule with equal weights.
func TestPondIndexByRule(t *testing.T) {
	for _, c := range pondIndexCases(t) {
		got := combined(Rule{Kind: Geometric}, c.SI, equalWeights(len(c.SI)))
		near(t, c.Case, got, c.HSI, 1e-12)
		near(t, c.Case+", by the root of the product", got, math.Pow(product(c.SI), 1/float64(len(c.SI))), 1e-12)
		if band := pondBand(got); band != c.Band {
			t.Errorf("%s: %g is %s, not %s", c.Case, got, band, c.Band)
		}
	}
}

// TestPondIndexByFeatureScore: a pond's score is the index; a factor that a pond
// lacks takes it to a lower root. Case G is case C without the pond's area, the
// second factor.
func TestPondIndexByFeatureScore(t *testing.T) {
	score := scoreOf(Rule{Kind: Geometric}, 10)
	for _, c := range pondIndexCases(t) {
		pond := map[string]string{}
		for i, si := range c.SI {
			field := i
			if len(c.SI) == 9 && i >= 1 {
				field++
			}
			pond[score.Attributes[field].Field] = strconv.FormatFloat(si, 'g', -1, 64)
		}
		near(t, c.Case, score.Score(pond), c.HSI, 1e-12)
	}
}

// TestPondBands: either side of each limit, after rounding.
func TestPondBands(t *testing.T) {
	for index, want := range map[float64]string{
		0: "poor", 0.4949: "poor", 0.4951: "below average", 0.5949: "below average", 0.5951: "average",
		0.6949: "average", 0.6951: "good", 0.7949: "good", 0.7951: "excellent", 1: "excellent",
	} {
		if got := pondBand(index); got != want {
			t.Errorf("%g is %s, not %s", index, got, want)
		}
	}
}

func product(x []float64) float64 {
	p := 1.0
	for _, v := range x {
		p *= v
	}
	return p
}

func equalWeights(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1 / float64(n)
	}
	return w
}
