package evidence

import "math"

// logLik is log L at ψ and p:
//
//	found·log ψ + finds·log p + missed·log(1−p) + Σ_n blank_n log(1 − ψ s_n),  s_n = 1 − (1−p)^n
func (c *histories) logLik(psi, p float64) float64 {
	l := float64(c.found)*math.Log(psi) + c.finds*math.Log(p)
	if c.missed > 0 {
		l += c.missed * math.Log1p(-p)
	}
	for n, sites := range c.blank {
		if sites > 0 {
			l += sites * math.Log1p(-psi*foundIn(p, n))
		}
	}
	return l
}

// foundIn is s_n, and foundInSlope its derivative by p.
func foundIn(p float64, n int) float64 { return -math.Expm1(float64(n) * math.Log1p(-p)) }

func foundInSlope(p float64, n int) float64 { return float64(n) * math.Pow(1-p, float64(n-1)) }

// psiAt is the ψ that fits best at p: log L is concave in ψ, and its derivative
// found/ψ − Σ blank s/(1 − ψ s) falls.
func (c *histories) psiAt(p float64) float64 {
	rises := func(psi float64) bool {
		slope := float64(c.found) / psi
		for n, sites := range c.blank {
			if sites > 0 {
				slope -= sites * foundIn(p, n) / (1 - psi*foundIn(p, n))
			}
		}
		return slope > 0
	}
	if rises(1) {
		return 1
	}
	return bisect(0, 1, rises)
}

// bisect finds where a falling function stops being above 0.
func bisect(low, high float64, above func(float64) bool) float64 {
	for range 80 {
		middle := low + (high-low)/2
		if above(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2
}

// scoreP is ∂ log L/∂p.
func (c *histories) scoreP(psi, p float64) float64 {
	slope := c.finds/p - c.missed/(1-p)
	for n, sites := range c.blank {
		if sites > 0 {
			slope -= sites * psi * foundInSlope(p, n) / (1 - psi*foundIn(p, n))
		}
	}
	return slope
}

// overPsi is the slope and the height of the profile of p: by the envelope
// theorem its derivative is that of log L at the best ψ.
func (c *histories) overPsi(p float64) (slope, height float64) {
	psi := c.psiAt(p)
	return c.scoreP(psi, p), c.logLik(psi, p)
}

// overP is the height of the profile of ψ.
func (c *histories) overP(psi float64) float64 {
	_, height := c.best(func(p float64) (float64, float64) { return c.scoreP(psi, p), c.logLik(psi, p) })
	return height
}

// best looks for the highest p on a grid, even in the logit, and then for the
// root of the slope beside it.
func (c *histories) best(profile func(p float64) (slope, height float64)) (p, height float64) {
	const steps, end = 160, 12.0
	at := func(k int) float64 { return 1 / (1 + math.Exp(-end+2*end*float64(k)/steps)) }
	top := steps
	height = math.Inf(-1)
	for k := range steps + 1 {
		if _, h := profile(at(steps - k)); h > height {
			top, height = steps-k, h
		}
	}
	p = bisect(at(min(steps, top+1)), at(max(0, top-1)), func(p float64) bool { s, _ := profile(p); return s > 0 })
	if c.missed == 0 {
		if _, h := profile(1 - 1e-12); h >= height && p > 1-1e-5 {
			return 1, h // every visit to a site with a find found it
		}
	}
	_, height = profile(p)
	return p, height
}

// standardErrors are the square roots of the inverse observed information's
// diagonal.
func (c *histories) standardErrors(psi, p float64) (sePsi, seP float64, inside bool) {
	if psi >= 1 || p >= 1 {
		return 0, 0, false
	}
	a := float64(c.found) / (psi * psi)
	b := c.finds/(p*p) + c.missed/((1-p)*(1-p))
	cross := 0.0
	for n, sites := range c.blank {
		if sites == 0 {
			continue
		}
		s, slope, left := foundIn(p, n), foundInSlope(p, n), 1-psi*foundIn(p, n)
		bend := -float64(n*(n-1)) * math.Pow(1-p, float64(n-2))
		a += sites * s * s / (left * left)
		b += sites * (psi*bend/left + psi*psi*slope*slope/(left*left))
		cross += sites * slope / (left * left)
	}
	determinant := a*b - cross*cross
	if !(determinant > 0 && a > 0) {
		return 0, 0, false
	}
	return math.Sqrt(b / determinant), math.Sqrt(a / determinant), true
}
