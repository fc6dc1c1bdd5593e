package evidence

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// pairwiseOf reads a matrix as books print it: "1 3 5 | 1/3 1 3 | 1/5 1/3 1".
func pairwiseOf(t *testing.T, text string) Pairwise {
	t.Helper()
	var p Pairwise
	for _, line := range strings.Split(text, "|") {
		var row []float64
		for _, word := range strings.Fields(line) {
			above, below := 0.0, 1.0
			if n, _ := fmt.Sscanf(word, "%g/%g", &above, &below); n == 0 {
				t.Fatalf("%q is no ratio", word)
			}
			row = append(row, above/below)
		}
		p = append(p, row)
	}
	return p
}

const (
	drinksMatrix = `1 9 5 2 1 1 1/2 | 1/9 1 1/3 1/9 1/9 1/9 1/9 | 1/5 3 1 1/3 1/4 1/3 1/9 | 1/2 9 3 1 1/2 1 1/3 |
		1 9 4 2 1 2 1/2 | 1 9 3 1 1/2 1 1/3 | 2 9 9 3 2 3 1`
	houseMatrix = `1 5 3 7 6 6 1/3 1/4 | 1/5 1 1/3 5 3 3 1/5 1/7 | 1/3 3 1 6 3 4 6 1/5 | 1/7 1/5 1/6 1 1/3 1/4 1/7 1/8 |
		1/6 1/3 1/3 3 1 1/2 1/5 1/6 | 1/6 1/3 1/4 4 2 1 1/5 1/6 | 3 5 1/6 7 5 5 1 1/2 | 4 7 5 8 6 6 2 1`
	nationsMatrix = `1 4 9 6 6 5 5 | 1/4 1 7 5 5 3 4 | 1/9 1/7 1 1/5 1/5 1/7 1/5 | 1/6 1/5 5 1 1 1/3 1/3 |
		1/6 1/5 5 1 1 1/3 1/3 | 1/5 1/3 7 3 3 1 2 | 1/5 1/4 5 3 3 1/2 1`
	chairsMatrix = `1 5 6 7 | 1/5 1 4 6 | 1/6 1/4 1 4 | 1/7 1/6 1/4 1`
)

// Published matrices with their weights, and more digits recomputed with numpy
// 1.10 (linalg.eig) outside this program.
func TestPublishedMatrices(t *testing.T) {
	for _, c := range []struct {
		source, matrix string
		published      []float64
		tolerance      float64
		weights        []float64 // recomputed, to 5e-5
		lambda, ratio  float64   // recomputed; 0 where not known
		warns          bool
	}{
		{"Saaty 2008, drinks (read)", drinksMatrix, []float64{.177, .019, .042, .116, .190, .129, .327}, 1e-3,
			[]float64{.1775, .0191, .0418, .1164, .1896, .1288, .3268}, 7.1766, .0223, false},
		{"Saaty 1990, house (from memory)", houseMatrix, []float64{.173, .054, .188, .018, .031, .036, .167, .333}, 1e-3,
			[]float64{.1730, .0540, .1881, .0175, .0310, .0363, .1668, .3332}, 9.6689, .1691, true},
		{"Saaty 1980, wealth of nations (from memory)", nationsMatrix, []float64{.427, .230, .021, .052, .052, .123, .094}, 1e-3,
			[]float64{.4271, .2303, .0208, .0524, .0524, .1227, .0943}, 7.6077, .077, false},
		{"Saaty 1980, brightness of four chairs (from memory, two printings)", chairsMatrix, []float64{.615, .235, .10, .05}, 1e-2,
			[]float64{.6187, .2353, .1009, .0451}, 4.3907, .1447, true},
		{"three by threeItems, recomputed with numpy", "1 3 5 | 1/3 1 3 | 1/5 1/3 1", nil, 0, []float64{.6370, .2583, .1047}, 3.0385, .033, false},
		{"four by four, recomputed with numpy", "1 2 4 6 | 1/2 1 3 4 | 1/4 1/3 1 2 | 1/6 1/4 1/2 1", nil, 0, []float64{.5041, .3005, .1226, .0727}, 4.0310, .0115, false},
		{"a circle, recomputed with numpy", "1 5 1/3 | 1/5 1 4 | 3 1/4 1", nil, 0, nil, 0, 1.87, true},
	} {
		p := pairwiseOf(t, c.matrix)
		weights, got, err := p.Weigh()
		if err != nil {
			t.Errorf("%s: %v", c.source, err)
			continue
		}
		nearWeights(t, c.source+": published", weights, c.published, c.tolerance)
		nearWeights(t, c.source+": recomputed", weights, c.weights, 5e-5)
		if c.lambda > 0 && math.Abs(got.Lambda-c.lambda) > 6e-5 {
			t.Errorf("%s: λ %.5f, not %.4f", c.source, got.Lambda, c.lambda)
		}
		if places := printedDecimals(c.ratio); math.Abs(got.Ratio-c.ratio) > 0.5*math.Pow10(-places)+1e-9 {
			t.Errorf("%s: ratio %.5f, not %g", c.source, got.Ratio, c.ratio)
		}
		if got.TooHigh() != c.warns {
			t.Errorf("%s: too high is %v, not %v", c.source, got.TooHigh(), c.warns)
		}
	}
}

func printedDecimals(v float64) int {
	_, after, _ := strings.Cut(fmt.Sprint(v), ".")
	return len(after)
}

// nearWeights holds numbers against others; nil holds nothing.
func nearWeights(t *testing.T, what string, got, want []float64, tolerance float64) {
	t.Helper()
	for i := range want {
		if len(got) != len(want) || math.Abs(got[i]-want[i]) > tolerance {
			t.Errorf("%s: %.5f, not %v", what, got, want)
			return
		}
	}
}

// The row geometric mean, another way to weights, gives other numbers on the
// house's matrix (.1748 .0626 .1487 .0193 .0356 .0423 .1670 .3496, recomputed with
// numpy): ours must be the eigenvector.
func TestNotTheRowGeometricMean(t *testing.T) {
	p := pairwiseOf(t, houseMatrix)
	rows, sum := make([]float64, len(p)), 0.0
	for i := range p {
		rows[i] = 1
		for _, a := range p[i] {
			rows[i] *= math.Pow(a, 1/float64(len(p)))
		}
		sum += rows[i]
	}
	for i := range rows {
		rows[i] /= sum
	}
	nearWeights(t, "row geometric mean", rows, []float64{.1748, .0626, .1487, .0193, .0356, .0423, .1670, .3496}, 6e-5)
	weights, _, _ := p.Weigh()
	if math.Abs(weights[2]-rows[2]) < 0.03 {
		t.Errorf("weights %.4f are the row geometric mean", weights)
	}
}

// The random index and the drinks as the reference file has them.
func TestReferenceFile(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/references/ahp.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		RI     map[int]float64 `json:"RI_1980"`
		Drinks struct {
			Matrix  Pairwise
			Weights []float64 `json:"weights_published"`
			Ratio   float64   `json:"CR_published"`
			Lambda  float64   `json:"lambda_recomputed"`
		} `json:"drinks_saaty2008"`
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	for n, want := range file.RI {
		if randomIndex[n] != want {
			t.Errorf("random index of %d: %g, not %g", n, randomIndex[n], want)
		}
	}
	weights, c, err := file.Drinks.Matrix.Weigh()
	if err != nil {
		t.Fatal(err)
	}
	nearWeights(t, "drinks", weights, file.Drinks.Weights, 1e-3)
	if math.Abs(c.Ratio-file.Drinks.Ratio) > 5e-4 || math.Abs(c.Lambda-file.Drinks.Lambda) > 6e-5 {
		t.Errorf("ratio %.4f, λ %.4f", c.Ratio, c.Lambda)
	}
}

// The house's matrix warns, and says where. From the printed matrix: size against
// neighbourhood 3, neighbourhood against condition 6, condition against size 3,
// which makes 54; TestWorstTriple holds the search against all triples.
func TestHouseWarns(t *testing.T) {
	items := []string{"size", "transport", "neighbourhood", "age", "yard", "facilities of house", "condition", "finance"}
	w, err := FromComparisons(items, []By[Pairwise]{{"A", pairwiseOf(t, houseMatrix)}})
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Warnings) != 1 {
		t.Fatalf("warnings: %q", w.Warnings)
	}
	for _, part := range []string{"expert A", "0.169", "size, neighbourhood and condition", "3 times 6 times 3 makes 54", "neighbourhood against condition: 6 times was said"} {
		if !strings.Contains(w.Warnings[0], part) {
			t.Errorf("%q does not say %q", w.Warnings[0], part)
		}
	}
}
