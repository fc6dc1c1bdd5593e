package evidence

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

const references = "../../testdata/references/"

func readReference(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(references + name)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.10f, not %.10f", what, got, want)
	}
}

func repeated(values []float64, counts []int) (all []float64) {
	for i, n := range counts {
		for range n {
			all = append(all, values[i])
		}
	}
	return all
}

// The computed tomography ratings of Hanley and McNeil (1982), Radiology
// 143:29-36, tables I and II (counts from memory). Printed: AUC .893, SE .032.
// The further digits were recomputed with scikit-learn, scipy and pROC.
func hanleyMcNeil(t *testing.T) (abnormal, normal []float64) {
	var file struct {
		Case struct {
			Ratings  []float64 `json:"ratings"`
			Normal   []int     `json:"normal"`
			Abnormal []int     `json:"abnormal"`
		} `json:"hanley_mcneil_1982_table1"`
	}
	readReference(t, "classification_checks.json", &file)
	return repeated(file.Case.Ratings, file.Case.Abnormal), repeated(file.Case.Ratings, file.Case.Normal)
}

func TestHanleyMcNeil1982(t *testing.T) {
	abnormal, normal := hanleyMcNeil(t)
	r, err := AUC(abnormal, normal)
	if err != nil || r.Presences != 51 || r.Background != 58 || !r.HasInterval {
		t.Fatalf("%+v, %v", r, err)
	}
	near(t, "AUC", r.Value, 0.8931710615, 1e-9)
	near(t, "published AUC", r.Value, .893, .0005)
	near(t, "SE of Hanley and McNeil", r.HanleySE, 0.03199041, 1e-8)
	near(t, "published SE", r.HanleySE, .032, .0005)
	near(t, "SE of DeLong", r.DeLongSE, 0.03072441, 1e-8)
	near(t, "low", r.Low, .8329523, 1e-7)
	near(t, "high", r.High, .9533898, 1e-7)
	rows, err := Thresholds(abnormal, normal)
	best, ok := MaxTSS(rows)
	if err != nil || !ok || best.Threshold != 4 {
		t.Fatalf("%+v, %v", best, err)
	}
	near(t, "greatest TSS, 44/51 + 45/58 − 1", best.TSS, .638607167004733, 1e-15)
	near(t, "sensitivity", best.Sensitivity, .862745, 1e-6)
	near(t, "specificity", best.Specificity, .775862, 1e-6)
}

// The example in scikit-learn's manual, roc_auc_score.
func TestScikitLearnManual(t *testing.T) {
	r, err := AUC([]float64{.35, .8}, []float64{.1, .4})
	if err != nil || r.Value != .75 {
		t.Fatalf("%+v, %v", r, err)
	}
}

func TestAUCThatCannotBeTold(t *testing.T) {
	if _, err := AUC(nil, []float64{1}); !errors.Is(err, ErrUndefined) {
		t.Errorf("no presence: %v", err)
	}
	if _, err := AUC([]float64{1}, nil); !errors.Is(err, ErrUndefined) {
		t.Errorf("no background: %v", err)
	}
	if _, err := AUC([]float64{1, math.NaN()}, []float64{1}); !errors.Is(err, ErrUnknown) {
		t.Errorf("NaN: %v", err)
	}
	for what, values := range map[string][2][]float64{
		"perfect separation": {{3, 4, 5}, {0, 1, 2}},
		"one presence":       {{3}, {0, 1, 4}},
		"all tied":           {{1, 1, 1}, {1, 1}},
	} {
		if r, err := AUC(values[0], values[1]); err != nil || r.HasInterval {
			t.Errorf("%s: %+v, %v", what, r, err)
		}
	}
}

// bruteAUC counts pairs, and takes DeLong's variance from every placement.
func bruteAUC(presence, background []float64) (value, se float64) {
	psi := func(x, y float64) float64 {
		switch {
		case x > y:
			return 1
		case x == y:
			return .5
		}
		return 0
	}
	m, n := float64(len(presence)), float64(len(background))
	v10, v01 := make([]float64, len(presence)), make([]float64, len(background))
	for i, x := range presence {
		for j, y := range background {
			v10[i] += psi(x, y) / n
			v01[j] += psi(x, y) / m
			value += psi(x, y) / m / n
		}
	}
	variance := func(v []float64) (s float64) {
		for _, x := range v {
			s += (x - value) * (x - value)
		}
		return s / float64(len(v)-1)
	}
	return value, math.Sqrt(variance(v10)/m + variance(v01)/n)
}

// bruteHanley is the variance from every three, with a third for those that tie
// both ways. Where the sides part it is 0 but for rounding, of which no root is
// taken.
func bruteHanley(presence, background []float64, a float64) float64 {
	wins := func(of, against []float64, sign float64) (sum float64) {
		for _, y := range against {
			for _, x1 := range of {
				for _, x2 := range of {
					switch d1, d2 := sign*(x1-y), sign*(x2-y); {
					case d1 > 0 && d2 > 0:
						sum++
					case d1 == 0 && d2 == 0:
						sum += 1. / 3
					case d1 >= 0 && d2 >= 0:
						sum += .5
					}
				}
			}
		}
		return sum / float64(len(of)*len(of)*len(against))
	}
	q1, q2 := wins(presence, background, 1), wins(background, presence, -1)
	m, n := float64(len(presence)), float64(len(background))
	return (a*(1-a) + (m-1)*(q1-a*a) + (n-1)*(q2-a*a)) / m / n
}

// drawn are values with many ties or with none.
func drawn(r *rand.Rand, n int, lean float64, ties bool) []float64 {
	values := make([]float64, n)
	for i := range values {
		values[i] = math.Pow(r.Float64(), lean)
		if ties {
			values[i] = math.Round(values[i]*20) / 20
		}
	}
	return values
}

func TestAUCAgainstEveryPair(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for round := range 60 {
		p, b := drawn(r, 2+r.IntN(25), .6, round%2 == 0), drawn(r, 2+r.IntN(40), 1, round%2 == 0)
		got, err := AUC(p, b)
		if err != nil {
			t.Fatal(err)
		}
		value, se := bruteAUC(p, b)
		near(t, "AUC", got.Value, value, 1e-12)
		near(t, "variance of DeLong", square(got.DeLongSE), square(se), 1e-13)
		near(t, "variance of Hanley and McNeil", square(got.HanleySE), bruteHanley(p, b, value), 1e-12)
	}
}

// Ranks alone count, and turning the sides about turns the area about.
func TestAUCLaws(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 2))
	stretch := func(values []float64) []float64 {
		out := make([]float64, len(values))
		for i, v := range values {
			out[i] = math.Exp(3*v) - 7
		}
		return out
	}
	for round := range 50 {
		p, b := drawn(r, 2+r.IntN(100), .7, round%2 == 0), drawn(r, 2+r.IntN(200), 1, round%2 == 0)
		a, _ := AUC(p, b)
		stretched, _ := AUC(stretch(p), stretch(b))
		if a != stretched {
			t.Fatalf("stretched: %+v, not %+v", stretched, a)
		}
		swapped, _ := AUC(b, p)
		near(t, "swapped AUC", swapped.Value, 1-a.Value, 1e-14)
		near(t, "swapped variance", square(swapped.DeLongSE), square(a.DeLongSE), 1e-14)
		near(t, "swapped variance of Hanley and McNeil", square(swapped.HanleySE), square(a.HanleySE), 1e-12)
	}
}
