package evidence

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"
)

// randomPairwise draws comparisons on Saaty's scale, 1/9 to 9.
func randomPairwise(r *rand.Rand, n int) Pairwise {
	p := NewPairwise(n)
	for i := range p {
		for j := range i {
			times := float64(1 + r.IntN(9))
			if r.IntN(2) == 0 {
				times = 1 / times
			}
			p.Set(i, j, times)
		}
	}
	return p
}

// eigenScript is the principal eigenvector and eigenvalue by LAPACK.
const eigenScript = `
import json, sys
import numpy as np
out = []
for m in json.load(sys.stdin):
    values, vectors = np.linalg.eig(np.array(m, float))
    k = np.argmax(values.real)
    v = np.abs(vectors[:, k].real)
    out.append({"weights": (v / v.sum()).tolist(), "lambda": float(values[k].real)})
print(json.dumps(out))
`

// 300 random matrices of 1 to 15 items against numpy in the same run.
func TestEigenvectorAgainstNumpy(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import numpy").Run(); err != nil {
		t.Skip("no numpy here")
	}
	const seed = 1980
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	var matrices []Pairwise
	for i := range 300 {
		matrices = append(matrices, randomPairwise(r, 1+i%MostCompared))
	}
	raw, err := json.Marshal(matrices)
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(python, "-c", eigenScript)
	c.Stdin = strings.NewReader(string(raw))
	answer, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want []struct {
		Weights []float64
		Lambda  float64
	}
	if err := json.Unmarshal(answer, &want); err != nil {
		t.Fatal(err)
	}
	for i, p := range matrices {
		weights, c, err := p.Weigh()
		if err != nil {
			t.Fatal(err)
		}
		nearWeights(t, "numpy", weights, want[i].Weights, 1e-12)
		if math.Abs(c.Lambda-want[i].Lambda) > 1e-11*want[i].Lambda {
			t.Errorf("matrix %d: λ %.15g, numpy %.15g", i, c.Lambda, want[i].Lambda)
		}
	}
}

// Comparisons that follow from weights give these weights and a ratio of 0,
// whatever unit the weights are in.
func TestConsistentMatrix(t *testing.T) {
	const seed = 7
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		n, unit := 3+r.IntN(13), math.Exp(20*r.NormFloat64())
		truth, sum := make([]float64, n), 0.0
		for i := range truth {
			truth[i] = unit * math.Exp(r.NormFloat64())
			sum += truth[i]
		}
		p := NewPairwise(n)
		for i := range p {
			for j := range i {
				p.Set(i, j, truth[i]/truth[j])
			}
		}
		for i := range truth {
			truth[i] /= sum
		}
		weights, c, err := p.Weigh()
		if err != nil {
			t.Fatal(err)
		}
		nearWeights(t, "weights", weights, truth, 1e-12)
		if c.Ratio > 1e-12 || math.Abs(c.Lambda-float64(n)) > 1e-11 || c.Worst.Cycle > 1+1e-9 {
			t.Errorf("λ %g of %d, ratio %g, cycle %g", c.Lambda, n, c.Ratio, c.Worst.Cycle)
		}
	}
}

// Items named in another order get the same weights, ratio and worst product.
func TestOrderDoesNotMatter(t *testing.T) {
	const seed = 11
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		p := randomPairwise(r, 3+r.IntN(13))
		order := r.Perm(len(p))
		q := NewPairwise(len(p))
		for i := range p {
			for j := range p {
				q[i][j] = p[order[i]][order[j]]
			}
		}
		a, ca, _ := p.Weigh()
		b, cb, err := q.Weigh()
		if err != nil {
			t.Fatal(err)
		}
		for i := range b {
			if math.Abs(b[i]-a[order[i]]) > 1e-12 {
				t.Errorf("weight %g became %g", a[order[i]], b[i])
			}
		}
		if math.Abs(ca.Ratio-cb.Ratio) > 1e-11 || math.Abs(ca.Worst.Cycle/cb.Worst.Cycle-1) > 1e-9 {
			t.Errorf("ratio %g became %g, cycle %g became %g", ca.Ratio, cb.Ratio, ca.Worst.Cycle, cb.Worst.Cycle)
		}
	}
}

// The worst triple against all ordered triples, and the comparison to look at
// again against one planted mistake in comparisons that otherwise agree: the
// others must say what is true.
func TestWorstTriple(t *testing.T) {
	const seed = 13
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		p := randomPairwise(r, 3+r.IntN(13))
		greatest := 0.0
		for i := range p {
			for j := range p {
				for k := range p {
					greatest = max(greatest, p[i][j]*p[j][k]*p[k][i])
				}
			}
		}
		_, c, _ := p.Weigh()
		if math.Abs(c.Worst.Cycle/greatest-1) > 1e-9 {
			t.Errorf("worst product %g, by brute force %g", c.Worst.Cycle, greatest)
		}
	}
	for range 200 {
		n := 4 + r.IntN(12)
		p, truth := NewPairwise(n), make([]float64, n)
		for i := range truth {
			truth[i] = math.Exp(0.5 * r.NormFloat64())
			for j := range i {
				p.Set(i, j, truth[i]/truth[j])
			}
		}
		a := r.IntN(n)
		b := (a + 1 + r.IntN(n-1)) % n
		p.Set(a, b, truth[a]/truth[b]*8)
		_, c, _ := p.Weigh()
		again := c.Worst.Again
		if again != [2]int{a, b} && again != [2]int{b, a} {
			t.Errorf("look again at %v, not at %d and %d", again, a, b)
		}
		if want := truth[again[0]] / truth[again[1]]; math.Abs(c.Worst.Rest/want-1) > 1e-9 {
			t.Errorf("the others say %g, truth is %g", c.Worst.Rest, want)
		}
	}
}

// One or two items cannot disagree: there is no ratio, not a ratio of 0.
func TestFewItemsHaveNoRatio(t *testing.T) {
	for _, matrix := range []string{"1", "1 9 | 1/9 1"} {
		weights, c, err := pairwiseOf(t, matrix).Weigh()
		if err != nil || c.Judged || c.TooHigh() || c.Worst != nil {
			t.Errorf("%s: %v %+v %v", matrix, weights, c, err)
		}
	}
	weights, _, _ := pairwiseOf(t, "1 9 | 1/9 1").Weigh()
	nearWeights(t, "two items", weights, []float64{.9, .1}, 1e-15)
}

// A matrix that is none is refused with its place.
func TestBadMatrices(t *testing.T) {
	for matrix, says := range map[string]string{
		"1 2 | 1/3 1": "row 1, column 2: 2 is not 1 over 0.333333",
		"1 2 | 1/2 3": "row 2, column 2",
		"1 0 | 0 1":   "row 1, column 2: 0 is not",
		"1 2 | 1/2":   "row 2 of 2 comparisons has 1",
		"1 -2 | -2 1": "row 1, column 2",
	} {
		if _, _, err := pairwiseOf(t, matrix).Weigh(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, which does not say %q", matrix, err, says)
		}
	}
	if _, _, err := NewPairwise(16).Weigh(); err == nil {
		t.Error("16 items were compared")
	}
	if _, _, err := (Pairwise{{1, math.NaN()}, {1, 1}}).Weigh(); err == nil {
		t.Error("NaN was compared")
	}
}
