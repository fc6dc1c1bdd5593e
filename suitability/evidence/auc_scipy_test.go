package evidence

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
)

// scipyScript takes U from Mann and Whitney's test, DeLong's variance from
// placements by numpy, the Boyce index of p/a from Spearman's test, and tenths from
// numpy.quantile.
const scipyScript = `
import json, sys
import numpy as np
from scipy.stats import mannwhitneyu, spearmanr
out = []
for case in json.load(sys.stdin):
    p, b = np.array(case["p"]), np.array(case["b"])
    auc = mannwhitneyu(p, b).statistic / len(p) / len(b)
    d = (p[:, None] > b[None, :]) + 0.5 * (p[:, None] == b[None, :])
    se = np.sqrt(d.mean(1).var(ddof=1) / len(p) + d.mean(0).var(ddof=1) / len(b))
    lo, hi = min(p.min(), b.min()), max(p.max(), b.max())
    w, mid, f = 0.1 * (hi - lo), [], []
    for s in np.linspace(lo, hi - w, 101):
        inside = lambda v: ((v >= s - 1e-7 * (hi - lo)) & (v <= s + w + 1e-7 * (hi - lo))).sum()
        if inside(b):
            mid.append(s)
            f.append(inside(p) / inside(b))
    out.append({"auc": auc, "se": se, "boyce": spearmanr(mid, f)[0], "deciles": np.quantile(b, np.arange(11) / 10).tolist()})
json.dump(out, sys.stdout)
`

// The figures against scipy and numpy, in the same run on the same numbers.
func TestFiguresAgainstScipy(t *testing.T) {
	const python = "/usr/bin/python3"
	if _, err := os.Stat(python); err != nil {
		t.Skip("no " + python)
	}
	if exec.Command(python, "-c", "import scipy.stats").Run() != nil {
		t.Skip("no scipy")
	}
	type sample struct {
		P []float64 `json:"p"`
		B []float64 `json:"b"`
	}
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 13))
	var cases []sample
	for i := range 10 {
		cases = append(cases, sample{drawn(r, 20+r.IntN(100), .6, i%2 == 0), drawn(r, 50+r.IntN(400), 1, i%2 == 0)})
	}
	input, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", scipyScript)
	cmd.Stdin, cmd.Stderr = bytes.NewReader(input), os.Stderr
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want []struct {
		AUC, SE, Boyce float64
		Deciles        []float64
	}
	if err := json.Unmarshal(text, &want); err != nil || len(want) != len(cases) {
		t.Fatal(err, string(text))
	}
	for i, c := range cases {
		a, err := AUC(c.P, c.B)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "AUC", a.Value, want[i].AUC, 1e-12)
		near(t, "SE", a.DeLongSE, want[i].SE, 1e-12)
		b, err := Boyce(c.P, c.B, BoyceOptions{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Boyce index", b.Index, want[i].Boyce, 1e-9)
		if i%2 == 1 { // without ties, which are merged
			deciles, err := Deciles(c.B)
			if err != nil || len(deciles) != 11 {
				t.Fatal(deciles, err)
			}
			for k, v := range deciles {
				near(t, "tenth", v, want[i].Deciles[k], 1e-12)
			}
		}
	}
}
