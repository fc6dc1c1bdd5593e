package evidence

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// randomModel has points and quadrature at separate rows, an offset, an
// intercept and columns of wild units.
func randomModel(rng *rand.Rand, rows, columns int) LogLinear {
	m := LogLinear{Terms: []FitTerm{{Name: "1"}}}
	for j := range columns {
		m.Terms = append(m.Terms, FitTerm{Name: string(rune('a' + j))})
	}
	for i := range rows {
		point := float64(i % 4 / 3)
		m.Points, m.Area = append(m.Points, point*(.5+rng.Float64())), append(m.Area, (1-point)*rng.Float64())
		m.Offset = append(m.Offset, rng.NormFloat64()/2)
		m.Terms[0].Values = append(m.Terms[0].Values, 1)
		for j := range columns {
			unit := math.Pow(10, float64(3*j-3))
			m.Terms[j+1].Values = append(m.Terms[j+1].Values, unit*(5+rng.NormFloat64()+point))
		}
	}
	return m
}

// At the optimum the score equals what the priors pull, and a bounded coefficient
// at 0 is pushed down.
func TestScoreEquationsHoldWithPriorsAndBounds(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 1))
		m := randomModel(rng, 200, 3)
		m.Terms[2].Prior = NormalPrior{Mean: -2, Precision: 40}
		m.Terms[3].NonNegative = true
		if seed%2 == 0 { // turned round, so that the best value is below 0
			for i := range m.Terms[3].Values {
				m.Terms[3].Values[i] *= -1
			}
		}
		f := mustFit(t, m)
		score := scoreEquations(m, f.Coef)
		for j, term := range m.Terms {
			pull := term.Prior.Precision * (f.Coef[j] - term.Prior.Mean)
			rest := (score[j] - pull) * f.SE[j]
			if f.AtBound[j] {
				rest = max(0, score[j])
			}
			if math.Abs(rest) > 1e-5 {
				t.Errorf("seed %d, %s: score %g, prior's pull %g", seed, term.Name, score[j], pull)
			}
		}
		if f.AtBound[3] != (seed%2 == 0) || f.Coef[3] < 0 {
			t.Errorf("seed %d: bounded coefficient %g, at its bound %v", seed, f.Coef[3], f.AtBound[3])
		}
	}
}

// Units of columns, the order of rows and the start must not matter; a prior of
// infinite precision is an offset.
func TestFitDoesNotDependOnUnitsOrderOrStart(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2))
	m := randomModel(rng, 300, 2)
	f := mustFit(t, m)
	scaled := m
	scaled.Terms = slices.Clone(m.Terms)
	scaled.Terms[1].Values = slices.Clone(m.Terms[1].Values)
	for i := range scaled.Terms[1].Values {
		scaled.Terms[1].Values[i] *= 1e6
	}
	g := mustFit(t, scaled)
	sameCoefs(t, "in other units", []float64{g.Coef[0], g.Coef[1] * 1e6, g.Coef[2]}, f.Coef, 1e-8)
	h, err := m.Fit(FitOptions{Start: []float64{3, -20, 0}})
	if err != nil {
		t.Fatal(err)
	}
	sameCoefs(t, "from elsewhere", h.Coef, f.Coef, 1e-8)

	held := m
	held.Terms = slices.Clone(m.Terms)
	held.Terms[1].Prior = NormalPrior{Mean: f.Coef[1], Precision: math.Inf(1)}
	k := mustFit(t, held)
	sameCoefs(t, "one held at its best", k.Coef, f.Coef, 1e-7)
	if k.SE[1] != 0 || !(k.SE[0] > 0) {
		t.Errorf("standard errors %v with the second held", k.SE)
	}
}

// A narrow prior holds, a wide one lets go; in between the estimate moves one way.
func TestPriorMovesTheEstimateMonotonically(t *testing.T) {
	m := randomModel(rand.New(rand.NewPCG(3, 3)), 200, 1)
	free := mustFit(t, m).Coef[1]
	last := free
	for _, precision := range []float64{1e-12, 1e-6, 1e-4, 1e-3, 1e-2, 1, 1e6} {
		m.Terms[1].Prior = NormalPrior{Mean: free + 1e3, Precision: precision}
		got := mustFit(t, m).Coef[1]
		if got < last {
			t.Errorf("precision %g: %g is below %g", precision, got, last)
		}
		last = got
	}
	if last < free+999 {
		t.Errorf("precision 1e6 leaves it at %g, the prior's mean is %g", last, free+1e3)
	}
}

func TestFitSaysWhatIsWrong(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	columns := func() LogLinear { return randomModel(rng, 120, 3) }
	for _, c := range []struct {
		name, want string
		spoil      func(*LogLinear)
	}{
		{"a sum of two", "a, b, c cannot be told apart", func(m *LogLinear) {
			for i := range m.Points {
				m.Terms[3].Values[i] = m.Terms[1].Values[i]*1e3 + m.Terms[2].Values[i]
			}
		}},
		{"constant", "1, b cannot be told apart", func(m *LogLinear) { m.Terms[2].Values = filled(len(m.Points), 7) }},
		{"zero", "b (0 everywhere)", func(m *LogLinear) { m.Terms[2].Values = filled(len(m.Points), 0) }},
		{"no point where it is 1", "b separates", func(m *LogLinear) {
			for i, s := range m.Points {
				m.Terms[2].Values[i] = 0
				if s == 0 && i%3 == 0 {
					m.Terms[2].Values[i] = 1
				}
			}
		}},
		{"not a number", "term c, row 4: NaN", func(m *LogLinear) { m.Terms[3].Values[4] = math.NaN() }},
		{"negative area", "row 2", func(m *LogLinear) { m.Area[2] = -1 }},
		{"short", "term a has 3 values for 120 rows", func(m *LogLinear) { m.Terms[1].Values = make([]float64, 3) }},
		{"no points", ErrNoPoints.Error(), func(m *LogLinear) { clear(m.Points) }},
		{"no area", ErrNoPoints.Error(), func(m *LogLinear) { clear(m.Area) }},
	} {
		m := columns()
		c.spoil(&m)
		if f, err := m.Fit(FitOptions{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v (%v), want an error with %q", c.name, err, f, c.want)
		}
	}
}

// The same columns are no trouble once a prior tells them apart.
func TestPriorTellsCollinearColumnsApart(t *testing.T) {
	m := randomModel(rand.New(rand.NewPCG(5, 6)), 120, 3)
	m.Terms[2].Values = filled(len(m.Points), 7)
	m.Terms[2].Prior = NormalPrior{Mean: .25, Precision: 4}
	f := mustFit(t, m)
	if math.Abs(f.Coef[2]-.25) > 1e-9 || math.Abs(f.SE[2]-.5) > 1e-6 {
		t.Errorf("a column that the data say nothing of: %g ± %g, the prior says .25 ± .5", f.Coef[2], f.SE[2])
	}
}

func TestLogisticSeparation(t *testing.T) {
	m := LogLinear{Family: Logistic, Points: []float64{0, 0, 1, 1}, Area: []float64{1, 1, 0, 0},
		Terms: []FitTerm{{Name: "1", Values: ones(4)}, {Name: "x", Values: []float64{0, 1, 2, 3}}}}
	var separated *SeparationError
	if f, err := m.Fit(FitOptions{}); !errors.As(err, &separated) || separated.Column != "x" {
		t.Errorf("perfect separation: %v, %v", f, err)
	}
}

func TestFitStopsWhenAsked(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := randomModel(rand.New(rand.NewPCG(1, 1)), 50, 1).FitContext(ctx, FitOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	var late *NotConvergedError
	if _, err := randomModel(rand.New(rand.NewPCG(1, 1)), 50, 1).Fit(FitOptions{MaxIterations: 1}); !errors.As(err, &late) {
		t.Errorf("after one iteration: %v", err)
	}
}
