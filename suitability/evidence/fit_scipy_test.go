package evidence

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"
)

// fitScript maximises the same penalised likelihoods with scipy.optimize, from
// the numbers alone.
const fitScript = `
import json, sys
import numpy as np
from scipy.optimize import minimize
out = []
for m in json.load(sys.stdin):
    s, a, o, X = (np.array(m[k], float) for k in ("points", "area", "offset", "columns"))
    X = X.T
    mean, precision = np.array(m["mean"]), np.array(m["precision"])
    def minus(b):
        eta = o + X @ b
        lam = np.exp(np.minimum(eta, 50))
        f = s @ eta - a @ lam - (precision * (b - mean) ** 2).sum() / 2
        g = X.T @ (s - a * lam) - precision * (b - mean)
        return -f, -g
    bounds = [(0, None) if low else (None, None) for low in m["bounded"]]
    b = np.zeros(X.shape[1])
    for _ in range(5):  # on from where it stopped
        b = minimize(minus, b, jac=True, method="L-BFGS-B", bounds=bounds,
                     options={"ftol": 1e-15, "gtol": 1e-9, "maxiter": 5000, "maxfun": 20000}).x
    out.append({"Coef": b.tolist(), "Penalised": -minus(b)[0]})
print(json.dumps(out))
`

// forScipy is the model as plain numbers.
func (m LogLinear) forScipy() map[string]any {
	var columns [][]float64
	var mean, precision []float64
	var bounded []bool
	for _, term := range m.Terms {
		columns = append(columns, term.Values)
		mean, precision, bounded = append(mean, term.Prior.Mean), append(precision, term.Prior.Precision), append(bounded, term.NonNegative)
	}
	return map[string]any{"points": m.Points, "area": m.Area, "offset": m.Offset, "columns": columns,
		"mean": mean, "precision": precision, "bounded": bounded}
}

// Random models with priors, bounds and offsets against scipy's L-BFGS-B in the
// same run (Debian's python3-scipy): our optimum is never the lower one, and where
// scipy reaches it the coefficients agree.
func TestFitAgainstScipy(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import scipy.optimize").Run(); err != nil {
		t.Skip("no scipy here:", err)
	}
	var models []LogLinear
	var asked []map[string]any
	for seed := range uint64(20) {
		m := scipyModel(rand.New(rand.NewPCG(seed, 41)))
		models, asked = append(models, m), append(asked, m.forScipy())
	}
	raw, err := json.Marshal(asked)
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(python, "-c", fitScript)
	command.Stdin = strings.NewReader(string(raw))
	answer, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	var theirs []Fit
	if err := json.Unmarshal(answer, &theirs); err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for k, m := range models {
		f := mustFit(t, m)
		if f.Penalised < theirs[k].Penalised-1e-8*math.Abs(f.Penalised) {
			t.Errorf("seed %d: penalised likelihood %.10g, scipy's %.10g", k, f.Penalised, theirs[k].Penalised)
		}
		for j, b := range f.Coef {
			away := math.Abs(b-theirs[k].Coef[j]) / (1e-6 + max(math.Abs(b), f.SE[j]))
			worst = max(worst, away)
			if away > 1e-4 {
				t.Errorf("seed %d: %s is %.9g, scipy's %.9g", k, f.Names[j], b, theirs[k].Coef[j])
			}
		}
	}
	t.Logf("seeds 0 to %d: largest relative difference %.1e", len(models)-1, worst)
}

// scipyModel keeps columns of one unit, which a method without curvature needs.
func scipyModel(rng *rand.Rand) LogLinear {
	m := LogLinear{Terms: []FitTerm{{Name: "1"}, {Name: "a", Prior: NormalPrior{Mean: 1, Precision: 4}}, {Name: "b", NonNegative: true},
		{Name: "c", Prior: NormalPrior{Mean: .5, Precision: 11}, NonNegative: true}, {Name: "d"}}}
	slope := []float64{0, rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
	for i := range 400 {
		eta := 0.0
		for j := range m.Terms {
			v := 1.0
			if j > 0 {
				v = rng.NormFloat64()
			}
			m.Terms[j].Values = append(m.Terms[j].Values, v)
			eta += slope[j] * v
		}
		m.Points, m.Area, m.Offset = append(m.Points, 0), append(m.Area, rng.Float64()), append(m.Offset, .3*rng.NormFloat64())
		if rng.Float64() < math.Exp(eta-2) {
			m.Points[i] = 1
		}
	}
	return m
}
