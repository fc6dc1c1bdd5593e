package evidence

import (
	"fmt"
	"math"
)

// design is the fixed part of a model: bootstrap draws and folds change only the
// weights of its rows.
type design struct {
	family Family
	n, p   int
	x      []float64 // row by row
	offset []float64 // nil for none
	names  []string
	prior  []NormalPrior
	bound  []bool // ≥ 0
}

func (d *design) setColumn(j int, t FitTerm) error {
	if len(t.Values) != d.n {
		return fmt.Errorf("evidence: term %s has %d values for %d rows", t.Name, len(t.Values), d.n)
	}
	if !(t.Prior.Precision >= 0) || !finite(t.Prior.Mean) {
		return fmt.Errorf("evidence: term %s: prior mean %g and precision %g; the precision must not be negative", t.Name, t.Prior.Mean, t.Prior.Precision)
	}
	for i, v := range t.Values {
		if !finite(v) {
			return fmt.Errorf("evidence: term %s, row %d: %g is no number to fit with", t.Name, i, v)
		}
		d.x[i*d.p+j] = v
	}
	d.names, d.prior, d.bound = append(d.names, t.Name), append(d.prior, t.Prior), append(d.bound, t.NonNegative)
	return nil
}

func (d *design) row(i int) []float64 { return d.x[i*d.p : (i+1)*d.p : (i+1)*d.p] }

// eta is offset + Σ b x at row i.
func (d *design) eta(i int, b []float64) float64 {
	eta := 0.0
	if d.offset != nil {
		eta = d.offset[i]
	}
	for j, v := range d.row(i) {
		eta += b[j] * v
	}
	return eta
}

// held says which coefficients an infinite precision fixes.
func (d *design) held(j int) bool { return math.IsInf(d.prior[j].Precision, 1) }

// start is where the search begins: the priors' means, and in a free column of
// ones the number that makes the expected total the observed one.
func (d *design) start(points, area []float64) []float64 {
	b := make([]float64, d.p)
	for j, prior := range d.prior {
		b[j] = prior.Mean
		if d.bound[j] {
			b[j] = max(0, b[j])
		}
	}
	if j := d.intercept(); j >= 0 {
		b[j] = 0
		b[j] = d.level(b, points, area)
	}
	return b
}

// level is the shift of η at which the total fits (for presences against
// background the logarithm of their odds is close enough).
func (d *design) level(b, points, area []float64) float64 {
	top := math.Inf(-1)
	for i, a := range area {
		if a > 0 {
			top = max(top, d.eta(i, b))
		}
	}
	var total, exposure float64
	for i, a := range area {
		total += points[i]
		if a > 0 {
			exposure += a * math.Exp(d.eta(i, b)-top)
		}
	}
	return math.Log(total) - math.Log(exposure) - top
}

// intercept is the first free column that is 1 everywhere, or -1.
func (d *design) intercept() int {
columns:
	for j := range d.p {
		if d.prior[j].Precision > 0 || d.bound[j] {
			continue
		}
		for i := range d.n {
			if d.x[i*d.p+j] != 1 {
				continue columns
			}
		}
		return j
	}
	return -1
}
