package evidence

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// reach is how far the next step would move η at any row that counts.
func (s *solver) reach() float64 {
	far := 0.0
	for i, a := range s.area {
		if a == 0 && s.points[i] == 0 {
			continue
		}
		moved := 0.0
		for j, v := range s.row(i) {
			moved += s.step[j] * v
		}
		far = max(far, math.Abs(moved))
	}
	return far
}

// separation blames the column that moves η most in the coming step.
func (s *solver) separation() error {
	blamed, most := 0, -1.0
	for _, j := range s.free {
		low, high := math.Inf(1), math.Inf(-1)
		for i := range s.n {
			v := s.x[i*s.p+j]
			low, high = min(low, v), max(high, v)
		}
		if moves := math.Abs(s.b[j]) * (high - low); moves > most {
			blamed, most = j, moves
		}
	}
	return &SeparationError{Column: s.names[blamed], At: s.b[blamed]}
}

// collinear looks for columns that the weights cannot tell apart.
func (s *solver) collinear() error { return s.blame(1e-10) }

// blame sweeps the scaled curvature column by column; one whose remainder falls
// below the tolerance follows from the columns before it.
func (s *solver) blame(tolerance float64) error {
	p := len(s.free)
	h := make([]float64, p*p)
	for k, j := range s.free {
		for l, m := range s.free {
			h[k*p+l] = s.curve[max(j, m)*s.p+min(j, m)] / math.Sqrt(s.curve[j*s.p+j]*s.curve[m*s.p+m])
		}
		if !(s.curve[j*s.p+j] > 0) {
			return &CollinearError{Columns: []string{s.names[j] + " (0 everywhere)"}}
		}
	}
	for k := range p {
		if h[k*p+k] < tolerance {
			return s.partners(h, k)
		}
		sweep(h, p, k)
	}
	return nil
}

// sweep is the sweep operator (Goodnight JH (1979) American Statistician
// 33:149-158): afterwards row k of later columns holds their coefficients on k.
func sweep(h []float64, p, k int) {
	pivot := h[k*p+k]
	for i := range p {
		if i == k {
			continue
		}
		f := h[i*p+k] / pivot
		for j := range p {
			if j != k {
				h[i*p+j] -= f * h[k*p+j]
			}
		}
		h[i*p+k] = -f
	}
	for j := range p {
		if j != k {
			h[k*p+j] /= pivot
		}
	}
	h[k*p+k] = 1 / pivot
}

func (s *solver) partners(h []float64, k int) error {
	p := len(s.free)
	var names []string
	for l := range k {
		if math.Abs(h[l*p+k]) > 1e-3 {
			names = append(names, s.names[s.free[l]])
		}
	}
	return &CollinearError{Columns: append(names, s.names[s.free[k]])}
}

// fit is the result at b.
func (s *solver) fit(iterations int, left float64) (*Fit, error) {
	f := &Fit{Names: slices.Clone(s.names), Coef: slices.Clone(s.b), SE: make([]float64, s.p),
		Covariance: mat.NewSymDense(s.p, nil), AtBound: make([]bool, s.p),
		LogLik: s.loglik, Penalised: s.loglik - s.penalty(s.b), Expected: s.expected,
		Iterations: iterations, Gradient: left}
	for j := range s.p {
		f.AtBound[j] = s.bound[j] && s.b[j] <= 0
	}
	s.covariance(f)
	return f, nil
}

func (s *solver) covariance(f *Fit) {
	if len(s.free) == 0 {
		return
	}
	chol, unit, ok := s.factor()
	if !ok {
		return
	}
	var inverse mat.SymDense
	_ = chol.InverseTo(&inverse) // a poor condition still inverts
	for k, j := range s.free {
		for l := range k + 1 {
			f.Covariance.SetSym(j, s.free[l], inverse.At(k, l)/(unit[k]*unit[l]))
		}
		f.SE[j] = math.Sqrt(f.Covariance.At(j, j))
	}
}
