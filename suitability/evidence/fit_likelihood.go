package evidence

import "math"

// likelihood is ℓ at b without the priors, and Σ a λ (for the logistic family
// Σ (s + a) p).
func (s *solver) likelihood(b []float64) (loglik, expected float64) {
	for i, a := range s.area {
		y := s.points[i]
		if a == 0 && y == 0 {
			continue
		}
		eta := s.eta(i, b)
		if s.family == Logistic {
			loglik += y*eta - (y+a)*softplus(eta)
			expected += (y + a) / (1 + math.Exp(-eta))
			continue
		}
		loglik += y * eta
		if a > 0 {
			mean := a * math.Exp(eta)
			loglik -= mean
			expected += mean
		}
	}
	if math.IsNaN(loglik) { // +∞ − ∞ on a step too far
		loglik = math.Inf(-1)
	}
	return loglik, expected
}

// softplus is log(1 + exp(x)) without overflow.
func softplus(x float64) float64 {
	if x > 0 {
		return x + math.Log1p(math.Exp(-x))
	}
	return math.Log1p(math.Exp(x))
}

// meanAndCurve are the expected points of a row and their derivative by η.
func (s *solver) meanAndCurve(i int) (mean, curve float64) {
	a := s.area[i]
	eta := s.eta(i, s.b)
	if s.family == Logistic {
		p := 1 / (1 + math.Exp(-eta))
		total := s.points[i] + a
		return total * p, total * p * (1 - p)
	}
	if a == 0 {
		return 0, 0
	}
	mean = a * math.Exp(eta)
	return mean, mean
}

// derivatives fills gradient, scale and curve at b.
func (s *solver) derivatives() {
	clear(s.gradient)
	clear(s.scale)
	clear(s.curve)
	for i, a := range s.area {
		if a == 0 && s.points[i] == 0 {
			continue
		}
		mean, curve := s.meanAndCurve(i)
		s.addRow(s.row(i), s.points[i], mean, curve)
	}
	for j, prior := range s.prior {
		if prior.Precision == 0 || s.held(j) {
			continue
		}
		s.gradient[j] -= prior.Precision * (s.b[j] - prior.Mean)
		s.scale[j] += prior.Precision * (math.Abs(s.b[j]) + math.Abs(prior.Mean))
		s.curve[j*s.p+j] += prior.Precision
	}
}

func (s *solver) addRow(row []float64, y, mean, curve float64) {
	rest, size := y-mean, y+mean
	for j, v := range row {
		s.gradient[j] += rest * v
		s.scale[j] += size * math.Abs(v)
		if curve == 0 {
			continue
		}
		w, line := curve*v, s.curve[j*s.p:j*s.p+j+1]
		for k := range line {
			line[k] += w * row[k]
		}
	}
}

// worstGradient is the largest gradient of a free coefficient against its scale.
func (s *solver) worstGradient() float64 {
	worst := 0.0
	for _, j := range s.free {
		if s.scale[j] > 0 {
			worst = max(worst, math.Abs(s.gradient[j])/s.scale[j])
		}
	}
	return worst
}
