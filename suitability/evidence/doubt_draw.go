package evidence

import (
	"hash/fnv"
	"math"
	"math/rand/v2"

	"tussock/suitability"
)

// drawnAssumptions are one draw: what takes the place of the profile's weights,
// ratings and rule.
type drawnAssumptions struct {
	requisites []float64
	criteria   [][]float64 // by requisite
	ordered    []float64   // for ordered weights
	ratings    []suitability.Rating
	rule       suitability.RuleKind
}

// draw makes the draws of a profile. Each source has a stream of random numbers
// of its own, made from the seed and the species, so that one source's draws are
// the same whether others vary or not; the first n of more draws are the n of
// fewer.
func (d Doubt) draw(p *suitability.Profile) []drawnAssumptions {
	weights, curves, rule := d.stream(p.ID, doubtWeights), d.stream(p.ID, doubtCurves), d.stream(p.ID, doubtRule)
	list := make([]drawnAssumptions, d.Draws)
	for i := range list {
		a := &list[i]
		d.drawWeights(weights, p, a)
		a.ratings = d.drawRatings(curves, p)
		a.rule = p.Rule.Kind
		if d.variesRule() {
			a.rule = d.Rules[rule.IntN(len(d.Rules))]
		}
	}
	return list
}

func (d Doubt) stream(species string, s doubtSource) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(species + " " + doubtNames[s]))
	return rand.New(rand.NewPCG(d.Seed, h.Sum64()))
}

func (d Doubt) drawWeights(r *rand.Rand, p *suitability.Profile, a *drawnAssumptions) {
	var stated []float64
	for _, q := range p.Requisites {
		stated = append(stated, q.Weight)
		var within []float64
		for _, c := range q.Criteria {
			within = append(within, c.Weight)
		}
		a.criteria = append(a.criteria, d.drawShares(r, within))
	}
	a.requisites = d.drawShares(r, stated)
	a.ordered = d.drawShares(r, p.Rule.Weights)
}

// drawShares is one draw from Dirichlet(c·w), w scaled to sum 1: gamma variates
// of shape c·w over their sum (Devroye 1986, Non-Uniform Random Variate
// Generation, XI.4, from memory). A weight of 0 stays 0, and no other becomes 0.
func (d Doubt) drawShares(r *rand.Rand, w []float64) []float64 {
	total := 0.0
	for _, x := range w {
		total += x
	}
	shares := make([]float64, len(w))
	if total == 0 {
		return shares
	}
	sum := 0.0
	for i, x := range w {
		shares[i] = x / total
		if x > 0 && d.variesWeights() {
			shares[i] = max(gammaVariate(r, d.Concentration*x/total), 1e-300)
		}
		sum += shares[i]
	}
	for i, x := range shares {
		if x > 0 {
			shares[i] = max(x/sum, 1e-12)
		}
	}
	return shares
}

// gammaVariate is a gamma variate of a shape and scale 1 (Marsaglia and Tsang
// 2000, ACM Transactions on Mathematical Software 26:363-372, from memory; below
// a shape of 1, one of shape + 1 times U^(1/shape)).
func gammaVariate(r *rand.Rand, shape float64) float64 {
	if shape < 1 {
		return gammaVariate(r, shape+1) * math.Pow(1-r.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := r.NormFloat64()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		if math.Log(1-r.Float64()) < 0.5*x*x+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// drawRatings are the ratings of all criteria, then of all multipliers.
func (d Doubt) drawRatings(r *rand.Rand, p *suitability.Profile) []suitability.Rating {
	var list []suitability.Rating
	for _, s := range statedRatings(p) {
		switch s := s.(type) {
		case suitability.Curve:
			list = append(list, d.drawCurve(r, s))
		case suitability.Table:
			list = append(list, d.drawTable(r, s))
		default:
			list = append(list, s)
		}
	}
	return list
}

func statedRatings(p *suitability.Profile) []suitability.Rating {
	var list []suitability.Rating
	for _, q := range p.Requisites {
		for _, c := range q.Criteria {
			list = append(list, c.Rating)
		}
	}
	for _, m := range p.Multipliers {
		list = append(list, m.Rating)
	}
	return list
}
