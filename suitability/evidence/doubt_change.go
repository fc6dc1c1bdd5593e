package evidence

import (
	"math"

	"tussock/suitability"
)

// The single change that would move a unit into another class, all else as
// stated, is the first of these that does:
//
//  1. one criterion's ratings, or one multiplier's factor, 0.05 higher or lower
//     (held within 0 and 1, and above the profile's floor), then 0.10
//  2. another rule of combination
//  3. one criterion's ratings or one multiplier's factor 0.15 higher or lower,
//     then 0.20
//
// Of several criteria that do at the same step it is the one that moves the
// suitability most, and then the first in the profile, higher before lower. Of
// several rules it is the one that moves it least, and then the first of
// arithmetic, geometric and minimum. The draws move a curve's heights by about
// 0.08, so that a step up to 0.10 is a matter of how the curve was drawn. The
// steps are the project's own choice. In a square of cells a criterion is raised
// or lowered in all its cells.
var (
	nearSteps = []float64{0.05, 0.10}
	farSteps  = []float64{0.15, 0.20}
)

// noChange is the code of a unit that none of the changes moves; the ratings' two
// codes each come next, and then those of the rules.
const noChange = 0

func raisedCode(rating int) uint8  { return uint8(1 + 2*rating) }
func loweredCode(rating int) uint8 { return uint8(2 + 2*rating) }
func ruleCode(ratings int, k suitability.RuleKind) uint8 {
	return uint8(1 + 2*ratings + int(k))
}

// maxRatings leaves room for the codes of rules and of unknown.
const maxRatings = 120

// sameMove is how much two moves of a suitability may differ and still count as
// equal: float32 rounding must not choose between them.
const sameMove = 1e-6

// changeOrder is the order of rules where nothing else decides.
var changeOrder = []suitability.RuleKind{suitability.Arithmetic, suitability.Geometric, suitability.Minimum}

func (s *drawnStrip) findChange() error {
	for _, step := range nearSteps {
		if err := s.tryRatings(step); err != nil {
			return err
		}
	}
	if err := s.tryRules(); err != nil {
		return err
	}
	for _, step := range farSteps {
		if err := s.tryRatings(step); err != nil {
			return err
		}
	}
	return nil
}

// tryRatings decides the undecided units that one rating moves by that step.
func (s *drawnStrip) tryRatings(step float64) error {
	best, code := make([]float64, s.count), make([]uint8, s.count)
	n := len(s.job.ratings)
	for i := range n {
		for _, by := range []float64{step, -step} {
			c := raisedCode(i)
			if by < 0 {
				c = loweredCode(i)
			}
			err := s.try(shiftedProfile(s.job.profile, i, by), func(u int, moves float64) {
				if code[u] == noChange || moves > best[u]+sameMove {
					best[u], code[u] = moves, c
				}
			})
			if err != nil {
				return err
			}
		}
	}
	s.decide(code)
	return nil
}

func (s *drawnStrip) tryRules() error {
	best, code := make([]float64, s.count), make([]uint8, s.count)
	for _, kind := range changeOrder {
		if kind == s.job.profile.Rule.Kind {
			continue
		}
		a := drawnAssumptions{rule: kind}
		err := s.try(a.with(s.job.profile, doubtRule), func(u int, moves float64) {
			if code[u] == noChange || moves < best[u]-sameMove {
				best[u], code[u] = moves, ruleCode(len(s.job.ratings), kind)
			}
		})
		if err != nil {
			return err
		}
	}
	s.decide(code)
	return nil
}

// try hands on the units that a profile moves into another class, and by how
// much.
func (s *drawnStrip) try(p *suitability.Profile, moves func(unit int, by float64)) error {
	if err := s.evaluate(p, s.value); err != nil {
		return err
	}
	for i, v := range s.value {
		if s.job.classOf(v) != s.class[i] {
			moves(i, math.Abs(float64(v)-float64(s.stated[i])))
		}
	}
	return nil
}

// decide gives undecided units their code.
func (s *drawnStrip) decide(code []uint8) {
	for i, c := range code {
		if s.change[i] == noChange {
			s.change[i] = c
		}
	}
}

// shiftedProfile has one rating higher by so much, within 0 and 1.
func shiftedProfile(p *suitability.Profile, rating int, by float64) *suitability.Profile {
	return withRatings(p, func(i int, r suitability.Rating) suitability.Rating {
		if i != rating {
			return r
		}
		switch r := r.(type) {
		case suitability.Curve:
			return shiftedCurve(r, by)
		case suitability.Table:
			return shiftedTable(r, by)
		}
		return r
	})
}

func shiftedTable(t suitability.Table, by float64) suitability.Table {
	shifted := make(suitability.Table, len(t))
	for i, y := range t {
		shifted[i] = y
		if y == y {
			shifted[i] = min(max(y+by, 0), 1)
		}
	}
	return shifted
}

// shiftedCurve gains a knot where a straight piece meets 0 or 1.
func shiftedCurve(c suitability.Curve, by float64) suitability.Curve {
	limit := 0.0
	if by > 0 {
		limit = 1
	}
	beyond := func(y float64) bool { return by > 0 && y > 1 || by < 0 && y < 0 }
	var out suitability.Curve
	for i, k := range c {
		y := k.Y + by
		if i > 0 && beyond(y) != beyond(c[i-1].Y+by) {
			before := c[i-1]
			x := before.X + (k.X-before.X)*((limit-by-before.Y)/(k.Y-before.Y))
			if float32(x) > float32(before.X) && float32(x) < float32(k.X) {
				out = append(out, suitability.Knot{X: x, Y: limit})
			}
		}
		out = append(out, suitability.Knot{X: k.X, Y: min(max(y, 0), 1)})
	}
	return out
}
