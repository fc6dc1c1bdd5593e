package evidence

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"
)

// fitReferences are the tables of testdata/references.
const fitReferences = "../../testdata/references/"

func readChecks(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile(fitReferences + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatal(err)
	}
}

// readNumbers are the columns of a file of numbers with one heading line.
func readNumbers(t *testing.T, name string, fields ...int) [][]float64 {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns := make([][]float64, len(fields))
	for _, row := range rows[1:] {
		for k, field := range fields {
			v, err := strconv.ParseFloat(row[field], 64)
			if err != nil {
				t.Fatal(err)
			}
			columns[k] = append(columns[k], v)
		}
	}
	return columns
}

func sameCoefs(t *testing.T, what string, got, want []float64, relative float64) {
	t.Helper()
	for j, w := range want {
		if !(math.Abs(got[j]-w) <= relative*math.Abs(w)) {
			t.Errorf("%s: coefficient %d is %.12g, want %.12g within %g of it", what, j, got[j], w, relative)
		}
	}
}

func ones(n int) []float64 { return filled(n, 1) }

func filled(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

func mustFit(t *testing.T, m LogLinear) *Fit {
	t.Helper()
	f, err := m.Fit(FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

type gridChecks struct {
	Grid10 struct {
		Coef, SE []float64
		LogLik   float64   `json:"logLik"`
		DWPR     []float64 `json:"dwpr_w1e-8"`
		IWLR     map[string][]float64
	}
}

func grid10(t *testing.T) (x, z, count []float64, checks gridChecks) {
	columns := readNumbers(t, fitReferences+"poisson_grid10.csv", 0, 1, 2)
	readChecks(t, "ppp_checks.json", &checks)
	return columns[0], columns[1], columns[2], checks
}

// The counts were drawn for this table, the coefficients recomputed with R's glm
// at epsilon 1e-14.
func TestPoissonOnTheGridOfTen(t *testing.T) {
	x, z, count, checks := grid10(t)
	f := mustFit(t, LogLinear{Points: count, Area: ones(len(count)),
		Terms: []FitTerm{{Name: "1", Values: ones(len(count))}, {Name: "x", Values: x}, {Name: "z", Values: z}}})
	sameCoefs(t, "Poisson", f.Coef, checks.Grid10.Coef, 1e-6)
	sameCoefs(t, "standard errors", f.SE, checks.Grid10.SE, 1e-6)
	factorials := 0.0
	for _, y := range count {
		l, _ := math.Lgamma(y + 1)
		factorials += l
	}
	sameCoefs(t, "log likelihood of the counts", []float64{f.LogLik - factorials, f.Expected}, []float64{checks.Grid10.LogLik, 177}, 1e-9)
	t.Logf("%d iterations, relative gradient %.1e", f.Iterations, f.Gradient)
}

// Warton and Shepherd (2010), Fithian and Hastie (2013): the logistic regression
// with background of weight W tends to the Poisson fit as W grows; at W = 1 it is
// another estimate. Values recomputed with R's glm; its intercept plus log W.
func TestInfinitelyWeightedLogisticTendsToThePoissonFit(t *testing.T) {
	x, z, count, checks := grid10(t)
	rows := func(weight float64) LogLinear {
		m := LogLinear{Family: Logistic, Terms: []FitTerm{{Name: "1"}, {Name: "x"}, {Name: "z"}}}
		for i := range count {
			m.Points, m.Area = append(m.Points, count[i]), append(m.Area, weight)
			for j, v := range []float64{1, x[i], z[i]} {
				m.Terms[j].Values = append(m.Terms[j].Values, v)
			}
		}
		return m
	}
	last := math.Inf(1)
	for _, weight := range []string{"1", "1e2", "1e4", "1e6"} {
		w, _ := strconv.ParseFloat(weight, 64)
		f := mustFit(t, rows(w))
		f.Coef[0] += math.Log(w)
		sameCoefs(t, "weight "+weight, f.Coef, checks.Grid10.IWLR[weight], 1e-6)
		away := math.Abs(f.Coef[1] - checks.Grid10.Coef[1])
		if away >= last {
			t.Errorf("weight %s: the slope is %g away, no nearer than before (%g)", weight, away, last)
		}
		last = away
	}
}

// The down-weighted Poisson regression (Renner IW et al. (2015) Methods in Ecology
// and Evolution 6:366-379): presences of weight w and response 1/w beside
// background of its area and response 0. Recomputed with R's glm at w = 1e-8.
func TestDownWeightedPoissonIsThePointProcess(t *testing.T) {
	x, z, count, checks := grid10(t)
	const w = 1e-8
	m := LogLinear{Terms: []FitTerm{{Name: "1"}, {Name: "x"}, {Name: "z"}}}
	add := func(points, area, x, z float64) {
		m.Points, m.Area = append(m.Points, points), append(m.Area, area)
		for j, v := range []float64{1, x, z} {
			m.Terms[j].Values = append(m.Terms[j].Values, v)
		}
	}
	for i := range count {
		add(0, 1, x[i], z[i])
		for range int(count[i]) {
			add(w*(1/w), w, x[i], z[i]) // weight × response, weight
		}
	}
	sameCoefs(t, fmt.Sprintf("presence weight %g", w), mustFit(t, m).Coef, checks.Grid10.DWPR, 1e-6)
}
