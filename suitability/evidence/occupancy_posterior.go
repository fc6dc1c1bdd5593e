package evidence

import "math"

// joint is the posterior of Scale and of the logit of each p. Sites with a find
// need only their totals by method; blank ones are taken one by one.
type joint struct {
	detection     []BetaPrior
	typical       BetaPrior
	found         []float64 // log λ − Reference of sites with a find
	blank         []jointBlank
	finds, missed []float64 // by method, over sites with a find
	hit, miss     []float64 // log p and log(1 − p) by method, of the state in work
}

// jointBlank is a site without a find.
type jointBlank struct {
	offset float64 // log λ − Reference
	visits []int
	psi    float64 // of the state in work
	seen   float64 // 1 − Π(1−p), of the state in work
}

func newJoint(sites []JointSite, o JointOptions) *joint {
	n := len(o.Methods)
	q := &joint{typical: o.Typical.orUniform(), finds: make([]float64, n), missed: make([]float64, n), hit: make([]float64, n), miss: make([]float64, n)}
	for _, b := range o.Detection {
		q.detection = append(q.detection, b.orUniform())
	}
	for _, s := range sites {
		if sumInts(s.Finds) == 0 {
			if sumInts(s.Visits) > 0 {
				q.blank = append(q.blank, jointBlank{visits: s.Visits})
			}
			continue
		}
		q.found = append(q.found, 0)
		for m, finds := range s.Finds {
			q.finds[m] += float64(finds)
			q.missed[m] += float64(s.Visits[m] - finds)
		}
	}
	return q
}

// place sets log λ − Reference of every site, in the order of newJoint, and
// returns the reference.
func (q *joint) place(sites []JointSite, logIntensity func(i int) float64) (reference float64) {
	found, blank := 0, 0
	reference = medianIntensity(sites, logIntensity)
	for i, s := range sites {
		switch {
		case sumInts(s.Finds) > 0:
			q.found[found] = logIntensity(i) - reference
			found++
		case sumInts(s.Visits) > 0:
			q.blank[blank].offset = logIntensity(i) - reference
			blank++
		}
	}
	return reference
}

// logPosterior at state {Scale, logit p…}, on the scale of the state: densities
// of Beta priors are multiplied by the derivatives of ψ and p.
func (q *joint) logPosterior(state []float64) float64 {
	q.setScale(state[0])
	q.setDetection(state[1:])
	return q.ofScale(state[0]) + q.ofDetection() + q.ofBlanks()
}

func (q *joint) setScale(scale float64) {
	for i := range q.blank {
		q.blank[i].psi = occupiedAt(scale + q.blank[i].offset)
	}
}

func (q *joint) setDetection(logits []float64) {
	for m, x := range logits {
		q.hit[m], q.miss[m] = -softplus(-x), -softplus(x)
	}
	for i := range q.blank {
		log := 0.0
		for m, visits := range q.blank[i].visits {
			log += float64(visits) * q.miss[m]
		}
		q.blank[i].seen = -math.Expm1(log)
	}
}

// ofScale is what depends on Scale alone: its prior and Σ log ψ over sites with a
// find.
func (q *joint) ofScale(scale float64) float64 {
	l := scale - q.typical.B*math.Exp(scale)
	if q.typical.A != 1 {
		l += (q.typical.A - 1) * logOccupied(scale)
	}
	for _, offset := range q.found {
		l += logOccupied(scale + offset)
	}
	return l
}

// ofDetection is what depends on the p alone: priors, and visits to sites with a
// find.
func (q *joint) ofDetection() float64 {
	l := 0.0
	for m, b := range q.detection {
		l += (b.A+q.finds[m])*q.hit[m] + (b.B+q.missed[m])*q.miss[m]
	}
	return l
}

// ofBlanks is Σ log(1 − ψ(1 − Π(1−p))).
func (q *joint) ofBlanks() float64 {
	l := 0.0
	for i := range q.blank {
		l += math.Log1p(-q.blank[i].psi * q.blank[i].seen)
	}
	return l
}

// at moves one coordinate and returns the density there, up to what does not
// depend on it.
func (q *joint) at(state []float64, k int, v float64) float64 {
	state[k] = v
	if k == 0 {
		q.setScale(v)
		return q.ofScale(v) + q.ofBlanks()
	}
	q.setDetection(state[1:])
	return q.ofDetection() + q.ofBlanks()
}

// logOccupied is log(1 − exp(−exp(x))), which is x where x is far below 0.
func logOccupied(x float64) float64 {
	if x < -30 {
		return x
	}
	return math.Log(occupiedAt(x))
}
