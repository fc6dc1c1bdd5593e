package suitability

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// RuleKind names a way to combine requisites.
type RuleKind uint8

// The kinds of rule.
const (
	Geometric  RuleKind = iota // Π R^W: a shortage limits, a zero forbids
	Arithmetic                 // Σ W·R: plenty of one makes up for little of another
	Minimum                    // the scarcest requisite alone decides
	Ordered                    // ordered weights
	Power                      // M_r, the weighted power mean
)

var ruleNames = [...]string{"geometric", "arithmetic", "minimum", "ordered", "power"}

func (k RuleKind) String() string {
	if int(k) < len(ruleNames) {
		return ruleNames[k]
	}
	return ""
}

// Rule is how requisites R with weights W (scaled to sum 1) become one
// suitability H between the least and the greatest R. The zero Rule is the
// geometric mean.
//
//	Power       H = (Σ W·R^r)^(1/r);  r = 1 arithmetic, r → 0 geometric, r → −∞ minimum
//	Ordered     H = Σ v_i·R_(i), R_(1) ≥ R_(2) ≥ …; the requisites' own weights are not used
//
// The arithmetic, geometric and limiting-factor forms are those of U.S. Fish
// and Wildlife Service (1981), Ecological Services Manual 103. Ordered weighted
// averaging is Yager RR (1988), IEEE Trans. SMC 18:183-190: the first weight
// goes to the highest requisite, so (1, 0, …) is the maximum.
type Rule struct {
	Kind     RuleKind
	Exponent float64   // r, for Power
	Weights  []float64 // v, one per requisite, for Ordered
}

// ParseRule reads the name of a rule that needs no numbers.
func ParseRule(name string) (Rule, error) {
	for _, k := range []RuleKind{Geometric, Arithmetic, Minimum} {
		if name == k.String() {
			return Rule{Kind: k}, nil
		}
	}
	return Rule{}, fmt.Errorf("suitability: %q is no rule; use geometric, arithmetic, minimum, or one with numbers: ordered, power", name)
}

func (r Rule) String() string {
	switch r.Kind {
	case Ordered:
		return fmt.Sprintf("ordered %v", r.Weights)
	case Power:
		return fmt.Sprintf("power %g", r.Exponent)
	}
	return r.Kind.String()
}

func (r Rule) check(requisites int) []error {
	switch {
	case r.Kind > Power:
		return []error{fieldError("rule", "%d is no rule", r.Kind)}
	case r.Kind == Power && math.IsNaN(r.Exponent):
		return []error{fieldError("rule.power", "the exponent is not a number")}
	case r.Kind != Ordered:
		return nil
	case len(r.Weights) != requisites:
		return []error{fieldError("rule.ordered", "%d ordered weights for %d requisites", len(r.Weights), requisites)}
	}
	var errs []error
	total := 0.0
	for i, w := range r.Weights {
		errs = append(errs, checkWeight(w, fmt.Sprintf("rule.ordered[%d]", i))...)
		total += w
	}
	if total == 0 {
		errs = append(errs, fieldError("rule.ordered", "every weight is 0"))
	}
	return errs
}

func (r Rule) canonical() string {
	parts := []string{r.Kind.String(), exact(r.Exponent)}
	for _, w := range r.Weights {
		parts = append(parts, exact(w))
	}
	return strings.Join(parts, " ")
}

// counts tells whether a requisite of that weight takes part.
func (r Rule) counts(weight float64) bool { return weight > 0 || r.Kind == Ordered }

// fitted is the rule for another number of requisites. Only ordered weights
// depend on it: they are read as the steps of a function Q over shares of the
// list, straight between, and Q is cut into n equal steps instead (Yager 1988,
// from memory: v_i = Q(i/n) − Q((i−1)/n)). So a greatest stays the greatest, a
// least the least, and a mean the mean.
func (r Rule) fitted(n int) Rule {
	if r.Kind != Ordered || n == len(r.Weights) || n == 0 {
		return r
	}
	cut := make([]float64, n)
	for i := range cut {
		from, to := float64(i)/float64(n), float64(i+1)/float64(n)
		for k, v := range r.Weights {
			low, high := float64(k)/float64(len(r.Weights)), float64(k+1)/float64(len(r.Weights))
			if shared := min(to, high) - max(from, low); shared > 0 {
				cut[i] += float64(v * (shared * float64(len(r.Weights))))
			}
		}
	}
	r.Weights = cut
	return r
}

// Combine is H for requisites and their weights, which need not sum to 1. It
// sorts R in place under Ordered. NaN where there is nothing to combine.
func (r Rule) combine(R, W []float64) float64 {
	if len(R) == 0 {
		return math.NaN()
	}
	switch r.Kind {
	case Arithmetic:
		return powerMean(R, W, 1)
	case Minimum:
		return slices.Min(R)
	case Ordered:
		return orderedMean(R, r.Weights)
	case Power:
		return powerMean(R, W, r.Exponent)
	}
	return powerMean(R, W, 0)
}

// orderedMean sorts by insertion: there are a handful of requisites.
func orderedMean(R, v []float64) float64 {
	if len(R) != len(v) {
		return math.NaN()
	}
	for i := 1; i < len(R); i++ {
		for j := i; j > 0 && R[j] > R[j-1]; j-- {
			R[j], R[j-1] = R[j-1], R[j]
		}
	}
	return weightedMean(R, v)
}

func weightedMean(x, w []float64) float64 {
	sum, total := 0.0, 0.0
	for i, xi := range x {
		sum += float64(w[i] * xi)
		total += w[i]
	}
	return sum / total
}

// powerMean is M_r. The general case takes the term that dominates out of the
// sum, ln M = a + log1p(Σ W·expm1(r·(ln R − a)))/r, which neither overflows for
// great |r| nor loses digits for small.
func powerMean(R, W []float64, r float64) float64 {
	switch {
	case r == 1:
		return weightedMean(R, W)
	case math.IsInf(r, 1):
		return slices.Max(R)
	case math.IsInf(r, -1):
		return slices.Min(R)
	}
	if r <= 0 && slices.Min(R) == 0 || slices.Max(R) == 0 {
		return 0
	}
	if r == 0 {
		return geometricMean(R, W)
	}
	a := math.Log(slices.Max(R))
	if r < 0 {
		a = math.Log(slices.Min(R))
	}
	sum, total := 0.0, 0.0
	for i, x := range R {
		sum += float64(W[i] * math.Expm1(r*(math.Log(x)-a)))
		total += W[i]
	}
	return math.Exp(a + math.Log1p(sum/total)/r)
}

func geometricMean(R, W []float64) float64 {
	sum, total := 0.0, 0.0
	for i, x := range R {
		sum += float64(W[i] * math.Log(x))
		total += W[i]
	}
	return math.Exp(sum / total)
}
