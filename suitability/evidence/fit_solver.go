package evidence

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"
)

// solver climbs to the optimum of one design under one set of weights.
type solver struct {
	*design
	points, area []float64

	b        []float64
	gradient []float64 // of the penalised likelihood
	scale    []float64 // Σ (s + a·mean)|x|: what a gradient is measured against
	curve    []float64 // −second derivatives with the precisions, p × p, lower half
	loglik   float64
	expected float64
	mean     []float64 // expected points of each row, where the likelihood was last taken
	free     []int     // neither held nor pushed against the bound
	step     []float64
	trial    []float64
	promise  float64 // what the step would add to the likelihood, twice over
}

func (d *design) solver(points, area []float64) *solver {
	p := d.p
	return &solver{design: d, points: points, area: area,
		b: make([]float64, p), mean: make([]float64, d.n), gradient: make([]float64, p), scale: make([]float64, p),
		curve: make([]float64, p*p), step: make([]float64, p), trial: make([]float64, p)}
}

func (s *solver) run(ctx context.Context, o FitOptions) (*Fit, error) {
	limit, tolerance := o.MaxIterations, o.Tolerance
	if limit == 0 {
		limit = 100
	}
	if tolerance == 0 {
		tolerance = 1e-9
	}
	if err := s.begin(o.Start); err != nil {
		return nil, err
	}
	far := 0
	for k := 0; ; k++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := s.newton(); err != nil {
			return nil, err
		}
		left, near := s.worstGradient(), max(1e-5, math.Sqrt(tolerance))
		if left <= tolerance && s.reach() <= near {
			return s.fit(k, left)
		}
		// At an optimum steps shrink together with what they promise. Where the
		// points are separated every step stays about 1 in η and adds nothing.
		if s.promise <= 1e-4 && s.reach() > 0.3 {
			far++
		}
		if far > 8 {
			return nil, s.separation()
		}
		if k == limit {
			return nil, &NotConvergedError{Iterations: k, Gradient: left}
		}
		if !s.climb() {
			if left <= math.Sqrt(tolerance) && s.reach() <= 1e-3 {
				return s.fit(k, left) // rounding is all that is left
			}
			return nil, &NotConvergedError{Iterations: k, Gradient: left}
		}
		s.derivatives()
		s.chooseFree()
	}
}

func (s *solver) begin(start []float64) error {
	var points, area float64
	for i, v := range s.points {
		points += v
		area += s.area[i]
	}
	if points == 0 || area == 0 {
		return ErrNoPoints
	}
	if start == nil {
		start = s.start(s.points, s.area)
	}
	for j, v := range start {
		if s.bound[j] {
			v = max(0, v)
		}
		if s.held(j) {
			v = s.prior[j].Mean
		}
		s.b[j] = v
	}
	s.loglik, s.expected = s.likelihood(s.b)
	s.derivatives()
	s.chooseFree()
	return s.collinear()
}

// chooseFree leaves out what is held and what the gradient pushes below 0.
func (s *solver) chooseFree() {
	s.free = s.free[:0]
	for j := range s.p {
		if !s.held(j) && !(s.bound[j] && s.b[j] <= 0 && s.gradient[j] <= 0) {
			s.free = append(s.free, j)
		}
	}
}

// newton solves curve · step = gradient over the free coefficients, scaled to a
// unit diagonal so that the units of the columns do not matter.
func (s *solver) newton() error {
	clear(s.step)
	if len(s.free) == 0 {
		return nil
	}
	chol, unit, ok := s.factor()
	if !ok {
		if s.promise <= 1e-4 { // flat beyond telling: the points are separated
			return s.separation()
		}
		return s.blame(1e-7)
	}
	right := mat.NewVecDense(len(s.free), nil)
	for k, j := range s.free {
		right.SetVec(k, s.gradient[j]/unit[k])
	}
	var solved mat.VecDense
	if err := chol.SolveVecTo(&solved, right); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return err
		}
	}
	s.promise = mat.Dot(&solved, right)
	for k, j := range s.free {
		s.step[j] = solved.AtVec(k) / unit[k]
	}
	return nil
}

// factor is the Cholesky factor of the free part of the curvature with unit
// diagonal, and the scales that made it so.
func (s *solver) factor() (*mat.Cholesky, []float64, bool) {
	unit := make([]float64, len(s.free))
	for k, j := range s.free {
		unit[k] = math.Sqrt(s.curve[j*s.p+j])
		if !(unit[k] > 0) {
			return nil, nil, false
		}
	}
	h := mat.NewSymDense(len(s.free), nil)
	for k, j := range s.free {
		for l := range k + 1 {
			h.SetSym(k, l, s.curve[j*s.p+s.free[l]]/(unit[k]*unit[l]))
		}
	}
	var chol mat.Cholesky
	return &chol, unit, chol.Factorize(h)
}

// climb takes the step, halved until the penalised likelihood grows, and reports
// whether it moved.
func (s *solver) climb() bool {
	before := s.loglik - s.penalty(s.b)
	for size := 1.0; size > 1e-12; size /= 2 {
		gain := 0.0
		for j := range s.b {
			s.trial[j] = s.b[j] + size*s.step[j]
			if s.bound[j] {
				s.trial[j] = max(0, s.trial[j])
			}
			gain += s.gradient[j] * (s.trial[j] - s.b[j])
		}
		loglik, expected := s.likelihood(s.trial)
		after := loglik - s.penalty(s.trial)
		if after >= before+1e-4*gain || size == 1 && gain <= 1e-9*math.Abs(before) && after >= before-1e-9*math.Abs(before) {
			copy(s.b, s.trial)
			s.loglik, s.expected = loglik, expected
			return true
		}
	}
	return false
}

func (s *solver) penalty(b []float64) float64 {
	sum := 0.0
	for j, prior := range s.prior {
		if prior.Precision > 0 && !s.held(j) {
			sum += prior.Precision * (b[j] - prior.Mean) * (b[j] - prior.Mean) / 2
		}
	}
	return sum
}
