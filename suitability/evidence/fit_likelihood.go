package evidence

import "math"

// likelihood is ℓ at b without the priors, and Σ a λ (for the logistic family
// Σ (s + a) p). It leaves the expected points of each row in s.mean.
func (s *solver) likelihood(b []float64) (loglik, expected float64) {
	for i, a := range s.area {
		y := s.points[i]
		s.mean[i] = 0
		if a == 0 && y == 0 {
			continue
		}
		eta := s.eta(i, b)
		if s.family == Logistic {
			loglik += y*eta - (y+a)*softplus(eta)
			s.mean[i] = (y + a) / (1 + math.Exp(-eta))
		} else {
			if a > 0 {
				s.mean[i] = a * math.Exp(eta)
			}
			loglik += y*eta - s.mean[i]
		}
		expected += s.mean[i]
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

// derivatives fills gradient, scale and curve at b, from the means that the
// likelihood left there.
func (s *solver) derivatives() {
	clear(s.gradient)
	clear(s.scale)
	clear(s.curve)
	for i, mean := range s.mean {
		y := s.points[i]
		if mean == 0 && y == 0 {
			continue
		}
		rest, size := y-mean, y+mean
		for j, v := range s.row(i) {
			s.gradient[j] += rest * v
			s.scale[j] += size * math.Abs(v)
		}
	}
	s.addCurve()
	for j, prior := range s.prior {
		if prior.Precision == 0 || s.held(j) {
			continue
		}
		s.gradient[j] -= prior.Precision * (s.b[j] - prior.Mean)
		s.scale[j] += prior.Precision * (math.Abs(s.b[j]) + math.Abs(prior.Mean))
		s.curve[j*s.p+j] += prior.Precision
	}
}

// bend is −∂²ℓ/∂η² of row i.
func (s *solver) bend(i int) float64 {
	if total := s.points[i] + s.area[i]; s.family == Logistic && total > 0 {
		return s.mean[i] * (1 - s.mean[i]/total)
	}
	return s.mean[i]
}

// addCurve adds Σ bend x xᵀ, lower half, four rows at a time: each element is
// then loaded and stored once for four products.
func (s *solver) addCurve() {
	var rows [4][]float64
	var weights [4]float64
	n := 0
	for i := range s.mean {
		if w := s.bend(i); w > 0 {
			rows[n], weights[n] = s.row(i), w
			if n++; n == 4 {
				s.addFour(&rows, &weights)
				n = 0
			}
		}
	}
	for k := n; n > 0 && k < 4; k++ {
		rows[k], weights[k] = rows[0], 0
	}
	if n > 0 {
		s.addFour(&rows, &weights)
	}
}

func (s *solver) addFour(rows *[4][]float64, weights *[4]float64) {
	p := s.p
	a, b, c, d := rows[0][:p], rows[1][:p], rows[2][:p], rows[3][:p]
	for j := range p {
		wa, wb, wc, wd := weights[0]*a[j], weights[1]*b[j], weights[2]*c[j], weights[3]*d[j]
		line := s.curve[j*p : j*p+j+1]
		a, b, c, d := a[:len(line)], b[:len(line)], c[:len(line)], d[:len(line)]
		for k := range line {
			line[k] += wa*a[k] + wb*b[k] + wc*c[k] + wd*d[k]
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
