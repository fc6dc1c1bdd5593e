package evidence

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Family says what the rows of a LogLinear model count.
type Family uint8

const (
	// PointProcess is an inhomogeneous Poisson process of intensity λ = exp(η):
	//
	//	ℓ = Σ s_i η_i − Σ a_i exp(η_i)
	//
	// with s_i the points and a_i the quadrature weight (an area) of row i. It is
	// the limit of the infinitely weighted logistic regression and of the
	// down-weighted Poisson regression (Berman M, Turner TR (1992) Applied
	// Statistics 41:31-38; Warton DI, Shepherd LC (2010) Annals of Applied
	// Statistics 4:1383-1402; Fithian W, Hastie T (2013) ibid. 7:1917-1939). A
	// Poisson regression of counts is the same with s the counts and a = 1.
	PointProcess Family = iota
	// Logistic is ℓ = Σ s_i log p_i + a_i log(1 − p_i), p = 1/(1 + exp(−η)), with
	// s_i the weight of presence and a_i that of background.
	Logistic
)

// NormalPrior is b ~ N(Mean, 1/Precision). The zero value leaves b free; an
// infinite precision holds it at Mean.
type NormalPrior struct {
	Mean, Precision float64
}

// FitTerm is one coefficient and its column.
type FitTerm struct {
	Name        string
	Values      []float64 // one a row
	Prior       NormalPrior
	NonNegative bool // hold b at or above 0
}

// LogLinear is η = Offset + Σ_j b_j x_j with a penalised likelihood. There is no
// hidden intercept: a column of ones is a term like any other.
type LogLinear struct {
	Family Family
	Points []float64 // s: how many points, or their weight, at each row; ≥ 0
	Area   []float64 // a: quadrature weight of each row; ≥ 0, 0 at a pure point
	Offset []float64 // nil for none
	Terms  []FitTerm
}

// FitOptions says when to stop; the zero value is right for most.
type FitOptions struct {
	Start         []float64 // nil: priors' means, and the intercept that fits the total
	MaxIterations int       // 0: 100
	Tolerance     float64   // 0: 1e-9, on the gradient relative to Σ(s + aλ)|x|
}

// Fit is the maximum of the penalised likelihood.
type Fit struct {
	Names []string
	Coef  []float64
	// SE and Covariance come from the inverse curvature at the optimum (with the
	// priors' precision in it); they are 0 for what is held or at its bound.
	SE         []float64
	Covariance *mat.SymDense
	AtBound    []bool
	LogLik     float64 // ℓ, without the priors
	Penalised  float64 // ℓ − Σ precision·(b − mean)²/2
	Expected   float64 // Σ a λ: the number of points that the fit expects
	Iterations int
	Gradient   float64 // largest relative gradient left
}

// Fit finds the maximum by projected Newton steps (Bertsekas DP (1982) SIAM
// Journal on Control and Optimization 20:221-246), halved until the likelihood
// grows. The penalised likelihood is concave, so it is the only one. Errors:
// *CollinearError, *SeparationError, *NotConvergedError, ErrNoPoints, or a
// sentence about the row that cannot be used.
func (m LogLinear) Fit(o FitOptions) (*Fit, error) { return m.FitContext(context.Background(), o) }

// FitContext is Fit that can be interrupted between iterations.
func (m LogLinear) FitContext(ctx context.Context, o FitOptions) (*Fit, error) {
	d, err := m.design()
	if err != nil {
		return nil, err
	}
	return d.solver(m.Points, m.Area).run(ctx, o)
}

// design checks the columns and packs them row by row.
func (m LogLinear) design() (*design, error) {
	n := len(m.Points)
	if len(m.Area) != n || m.Offset != nil && len(m.Offset) != n {
		return nil, fmt.Errorf("evidence: %d points, %d areas and %d offsets; one of each a row is needed", n, len(m.Area), len(m.Offset))
	}
	if len(m.Terms) == 0 {
		return nil, fmt.Errorf("evidence: a model without terms has nothing to fit")
	}
	d := &design{family: m.Family, n: n, p: len(m.Terms), x: make([]float64, n*len(m.Terms)), offset: m.Offset}
	for j, t := range m.Terms {
		if err := d.setColumn(j, t); err != nil {
			return nil, err
		}
	}
	return d, firstBadWeight(m)
}

func firstBadWeight(m LogLinear) error {
	for i, s := range m.Points {
		o := 0.0
		if m.Offset != nil {
			o = m.Offset[i]
		}
		if a := m.Area[i]; !(s >= 0) || !(a >= 0) || !finite(s) || !finite(a) || !finite(o) {
			return fmt.Errorf("evidence: row %d: points %g, area %g, offset %g; weights must be finite and not negative", i, s, a, o)
		}
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
