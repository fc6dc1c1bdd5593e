package evidence

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"tussock/layers"
	"tussock/suitability"
)

// twoCriteria has one criterion in each of two requisites, on the straight curve
// from 0 to 1.
func twoCriteria(rule suitability.RuleKind) *suitability.Profile {
	line := suitability.Curve{{X: 0, Y: 0}, {X: 1, Y: 1}}
	return &suitability.Profile{ID: "two", Rule: suitability.Rule{Kind: rule}, Requisites: []suitability.Requisite{
		{ID: "a", Weight: .5, Criteria: []suitability.Criterion{{ID: "first", Weight: 1, Measure: slot(0), Rating: line}}},
		{ID: "b", Weight: .5, Criteria: []suitability.Criterion{{ID: "second", Weight: 1, Measure: slot(1), Rating: line}}},
	}}
}

// doubtOf is the doubt about a profile whose measures are slots.
func doubtOf(p *suitability.Profile, d Doubt) *doubting {
	j := &doubting{doubt: d, profile: slotted(p), mapCell: 1, breaks: []float32{.2, .4, .6, .8}}
	j.draws = d.draw(j.profile)
	j.ratings = statedRatings(j.profile)
	return j
}

func runStrip(t testing.TB, j *doubting, u mapUnits) *drawnStrip {
	t.Helper()
	s := j.strip(u)
	if err := s.run(); err != nil {
		t.Fatal(err)
	}
	return s
}

func within(a, b, by float64) bool { return math.Abs(a-b) <= by }

// Worked by hand: ratings .25 and 1 with equal weights are .625 added up, .5 as a
// geometric mean, and .25 by the scarcer. Where only the rule varies, everything
// follows from how often each was drawn.
func TestDoubtOfTwoCriteriaByHand(t *testing.T) {
	d := DefaultDoubt(100, 11)
	d.Concentration, d.KnotX, d.KnotY = math.Inf(1), 0, 0
	j := doubtOf(twoCriteria(suitability.Geometric), d)
	s := runStrip(t, j, mapUnits{rows: []suitability.Row{{Values: []float32{.25}}, {Values: []float32{1}}}, count: 1, cells: 1})
	times := map[suitability.RuleKind]float64{}
	for _, a := range j.draws {
		times[a.rule]++
	}
	t.Logf("seed %d: drawn %v", d.Seed, times)
	draws := slices.Repeat([]float64{.25}, int(times[suitability.Minimum]))
	draws = append(draws, slices.Repeat([]float64{.5}, int(times[suitability.Geometric]))...)
	draws = append(draws, slices.Repeat([]float64{.625}, int(times[suitability.Arithmetic]))...)
	want := drawnSpread{suitability.EncodeByte(draws[9]), suitability.EncodeByte(draws[49]), suitability.EncodeByte(draws[89])}
	if s.spread[0] != want {
		t.Errorf("bytes %v, want %v", s.spread[0], want)
	}
	mean := (.25*times[suitability.Minimum] + .5*times[suitability.Geometric] + .625*times[suitability.Arithmetic]) / 100
	variance := 0.0
	for _, x := range draws {
		variance += (x - mean) * (x - mean) / 100
	}
	v, source := s.dominant(0)
	if !within(v[doubtRule], variance, 1e-9) || !within(v[doubtAll], variance, 1e-9) || v[doubtWeights] != 0 || v[doubtCurves] != 0 || source != uint8(doubtRule) {
		t.Errorf("variances %v, source %d, want %g of the rule", v, source, variance)
	}
	// .625 is "good" (.6 to .8), .5 "some" (.4 to .6), .25 "weak" (.2 to .4).
	want3 := map[uint8]float64{1: times[suitability.Minimum], 2: times[suitability.Geometric], 3: times[suitability.Arithmetic]}
	class, share := s.modal(0)
	if share*100 != want3[class] || share*100 != max(want3[1], want3[2], want3[3]) {
		t.Errorf("class %d in %g of the draws; drawn %v", class, share, times)
	}
	if got := float64(s.moved[doubtRule][0]); got != times[suitability.Minimum]+times[suitability.Arithmetic] {
		t.Errorf("moved in %g draws", got)
	}
}

// Worked by hand: S = √(r1·r2) = .5 leaves its class, .4 to .6, upwards at
// r1·r2 ≥ .36 and downwards below .16: from .25 by +.11 or −.09 (r2 = 1), and
// from r2 = 1 by −.36. So the first criterion lower by .10 is what moves it.
func TestSingleChangeByHand(t *testing.T) {
	d := DefaultDoubt(10, 1)
	j := doubtOf(twoCriteria(suitability.Geometric), d)
	for _, c := range []struct {
		x, y float32
		want string
	}{
		{.25, 1, "a/first rated lower"},           // √(.15·1) = .387 by −.10; √(.35·1) = .592
		{.38, .8, "a/first rated higher"},         // √(.48·.8) = .620 by +.10; nothing by .05: √(.43·.8) = .587
		{1, 1, "no single change of those tried"}, // √.8 = .894 by −.20
		{.36, .98, "a/first rated higher"},        // √.3528 = .594; by +.05 √(.41·.98) = .634
		{.5, .5, "a/first rated lower"},           // all rules alike; √(.3·.5) = .387 by −.20, √(.7·.5) = .592
		{.3, 1, "a/first rated higher"},           // √.3 = .548; √.4 = .632 by +.10, √.2 = .447
	} {
		s := runStrip(t, j, mapUnits{rows: []suitability.Row{{Values: []float32{c.x}}, {Values: []float32{c.y}}}, count: 1, cells: 1})
		if got := j.changes()[s.change[0]]; got != c.want {
			t.Errorf("%g, %g: %s, want %s", c.x, c.y, got, c.want)
		}
	}
	// √(.28·.9) = .502; first ±.10: √.162 = .402, √.342 = .585; second ±.10: √.224 =
	// .473, √.28 = .529: none. Rules: .59 added up stays, .28 by the scarcer moves.
	s := runStrip(t, j, mapUnits{rows: []suitability.Row{{Values: []float32{.28}}, {Values: []float32{.9}}}, count: 1, cells: 1})
	if got := j.changes()[s.change[0]]; got != "rule minimum" {
		t.Errorf("%s", got)
	}
}

// Dirichlet(c·w): mean w, variance w(1−w)/(c+1), covariance −w·v/(c+1) (Devroye
// 1986, Non-Uniform Random Variate Generation, XI.4; standard formulas, from
// memory). Within five standard errors.
func TestDrawnWeightsHaveTheMoments(t *testing.T) {
	const n, seed = 40000, 5
	w := []float64{.6, .25, .14, .01}
	d := DefaultDoubt(10, seed)
	r := rand.New(rand.NewPCG(seed, 0))
	var sum, squares [4]float64
	cross := 0.0
	for range n {
		x := d.drawShares(r, w)
		total := 0.0
		for i := range x {
			sum[i] += x[i]
			squares[i] += (x[i] - w[i]) * (x[i] - w[i])
			total += x[i]
		}
		cross += (x[0] - w[0]) * (x[1] - w[1])
		if !within(total, 1, 1e-9) {
			t.Fatalf("weights sum to %g", total)
		}
	}
	for i, m := range w {
		variance := m * (1 - m) / 31
		if !within(sum[i]/n, m, 5*math.Sqrt(variance/n)) {
			t.Errorf("seed %d: mean %g of %g", seed, sum[i]/n, m)
		}
		if !within(squares[i]/n/variance, 1, .1) {
			t.Errorf("seed %d: variance %g, want %g", seed, squares[i]/n, variance)
		}
	}
	if want := -w[0] * w[1] / 31; !within(cross/n/want, 1, .1) {
		t.Errorf("seed %d: covariance %g, want %g", seed, cross/n, want)
	}
}

// Gamma variates of shape k have mean k and variance k.
func TestGammaVariatesHaveTheMoments(t *testing.T) {
	const n, seed = 60000, 6
	r := rand.New(rand.NewPCG(seed, 0))
	for _, shape := range []float64{.05, .3, 1, 2.5, 18} {
		sum, squares := 0.0, 0.0
		for range n {
			x := gammaVariate(r, shape)
			sum += x
			squares += (x - shape) * (x - shape)
		}
		if !within(sum/n, shape, 5*math.Sqrt(shape/n)) || !within(squares/n/shape, 1, .12) {
			t.Errorf("seed %d, shape %g: mean %g, variance %g", seed, shape, sum/n, squares/n)
		}
	}
}

// A knot far from its neighbours and from 0 and 1 is lognormal in x and normal in
// y: moments of ln x and of y within five standard errors.
func TestDrawnKnotsHaveTheMoments(t *testing.T) {
	const n, seed = 20000, 8
	d := DefaultDoubt(10, seed)
	r := rand.New(rand.NewPCG(seed, 0))
	var lx, lx2, y, y2 float64
	for range n {
		k := d.drawCurve(r, suitability.Curve{{X: 1, Y: 0}, {X: 1000, Y: .5}, {X: 1e6, Y: 1}})[1]
		l := math.Log(k.X / 1000)
		lx, lx2, y, y2 = lx+l, lx2+l*l, y+k.Y-.5, y2+(k.Y-.5)*(k.Y-.5)
	}
	if !within(lx/n, 0, 5*.2/math.Sqrt(n)) || !within(lx2/n, .04, .002) || !within(y/n, 0, 5*.08/math.Sqrt(n)) || !within(y2/n, .0064, .0004) {
		t.Errorf("seed %d: ln x %g, %g; y %g, %g", seed, lx/n, lx2/n, y/n, y2/n)
	}
}

// Laws of drawn ratings: order, ends, bounds and shape stay.
func TestDrawnRatingsKeepTheirShape(t *testing.T) {
	const seed = 21
	r := rand.New(rand.NewPCG(seed, 0))
	d := DefaultDoubt(10, seed)
	for range 3000 {
		c := suitability.Curve{}
		x, y := r.Float64()*10-5, r.Float64()
		for range 2 + r.IntN(6) {
			c = append(c, suitability.Knot{X: x, Y: y})
			x += .01 + r.Float64()*3
			if r.IntN(3) > 0 {
				y = r.Float64()
			}
		}
		got := d.drawCurve(r, c)
		checkShape(t, seed, c, got)
		table := suitability.Table{r.Float64(), math.NaN(), r.Float64(), 0, .5, .5, 1}
		drawn := d.drawTable(r, table)
		if drawn[1] == drawn[1] || drawn[3] != 0 || drawn[6] != 1 || drawn[4] != drawn[5] || (table[0] < table[2]) != (drawn[0] < drawn[2]) && drawn[0] != drawn[2] {
			t.Fatalf("seed %d: %v became %v", seed, table, drawn)
		}
	}
}

func checkShape(t *testing.T, seed int, c, got suitability.Curve) {
	t.Helper()
	last := len(c) - 1
	if got[0].Y != c[0].Y || got[last].Y != c[last].Y {
		t.Fatalf("seed %d: the ends of %v became %v", seed, c, got)
	}
	for i, k := range got {
		if !(k.Y >= 0 && k.Y <= 1) {
			t.Fatalf("seed %d: %v", seed, got)
		}
		if i == 0 {
			continue
		}
		if !(float32(got[i-1].X) < float32(k.X)) || (c[i].Y-c[i-1].Y)*(k.Y-got[i-1].Y) < 0 || c[i].Y == c[i-1].Y && k.Y != got[i-1].Y {
			t.Fatalf("seed %d: %v became %v", seed, c, got)
		}
	}
}

// Where nothing varies, nothing is in doubt.
func TestNothingVariesNothingMoves(t *testing.T) {
	d := Doubt{Draws: 50, Seed: 3, Concentration: math.Inf(1)}
	j := doubtOf(twoCriteria(suitability.Geometric), d)
	u := mapUnits{rows: []suitability.Row{{Values: []float32{.1, .5, .9}}, {Values: []float32{.2, .7, 1}}}, count: 3, cells: 3}
	s := runStrip(t, j, u)
	for i := range 3 {
		_, share := s.modal(i)
		v, source := s.dominant(i)
		if b := suitability.EncodeByte(float64(s.stated[i])); share != 1 || source != 0 || v != [doubtSources]float64{} || s.spread[i] != (drawnSpread{b, b, b}) {
			t.Errorf("unit %d: stability %g, source %d, variances %v, %v", i, share, source, v, s.spread[i])
		}
	}
}

// The rank of a quantile, against sorting.
func TestOrderStatisticsAgainstSorting(t *testing.T) {
	const seed = 4
	r := rand.New(rand.NewPCG(seed, 0))
	for _, draws := range []int{10, 11, 99, 500} {
		const n = 131
		bytes := make([]uint8, draws*n)
		for i := range bytes {
			bytes[i] = uint8(r.IntN(201))
		}
		out := make([]drawnSpread, n)
		orderStatistics(bytes, n, out)
		for u := range n {
			var own []uint8
			for d := range draws {
				own = append(own, bytes[d*n+u])
			}
			slices.Sort(own)
			at := func(q float64) uint8 { return own[int(math.Ceil(q*float64(draws)-1e-9))-1] }
			if want := (drawnSpread{at(.1), at(.5), at(.9)}); out[u] != want {
				t.Fatalf("seed %d, %d draws: %v, want %v", seed, draws, out[u], want)
			}
		}
	}
}

// randomDoubted is a random profile on slots, with its kinds of measures.
func randomDoubted(r *rand.Rand) (p *suitability.Profile, codes []bool) {
	rules := []suitability.Rule{{}, {Kind: suitability.Arithmetic}, {Kind: suitability.Minimum}, {Kind: suitability.Power, Exponent: -2}, {Kind: suitability.Ordered}}
	p = &suitability.Profile{ID: fmt.Sprint("random ", r.IntN(100)), Floor: []float64{0, .01}[r.IntN(2)], Rule: rules[r.IntN(len(rules))]}
	p.Missing.Kind = suitability.MissingKind(r.IntN(3))
	rating := func() (layers.Measure, suitability.Rating) {
		codes = append(codes, r.IntN(3) == 0)
		if codes[len(codes)-1] {
			return slot(len(codes) - 1), suitability.Table{r.Float64(), r.Float64(), r.Float64(), 1}
		}
		return slot(len(codes) - 1), suitability.Curve{{X: 0, Y: r.Float64()}, {X: .3 + .3*r.Float64(), Y: r.Float64()}, {X: 1, Y: r.Float64()}}
	}
	for g := range 1 + r.IntN(3) {
		q := suitability.Requisite{ID: fmt.Sprint(g), Weight: .1 + r.Float64()}
		for i := range 1 + r.IntN(3) {
			m, how := rating()
			q.Criteria = append(q.Criteria, suitability.Criterion{ID: fmt.Sprint(i), Weight: .1 + r.Float64(), Measure: m, Rating: how})
		}
		p.Requisites = append(p.Requisites, q)
		p.Rule.Weights = append(p.Rule.Weights, r.Float64()+.01)
	}
	if p.Rule.Kind != suitability.Ordered {
		p.Rule.Weights = nil
	}
	if r.IntN(2) == 0 {
		m, how := rating()
		p.Multipliers = append(p.Multipliers, suitability.Multiplier{ID: "m", Measure: m, Rating: how})
	}
	return p, codes
}

// The straightforward path: every draw's profile explained cell by cell in
// float64, sorted, and counted. Suitabilities within 1e-6 of where a byte or a
// class changes may fall on either side.
func TestDoubtAgainstBruteForce(t *testing.T) {
	const seed, cells = 31, 12
	r := rand.New(rand.NewPCG(seed, 0))
	for n := range 30 {
		p, codes := randomDoubted(r)
		d := DefaultDoubt(20+r.IntN(30), uint64(n))
		j := doubtOf(p, d)
		rows := make([]suitability.Row, len(codes))
		values := make([][]float64, cells)
		for i, isCodes := range codes {
			for c := range cells {
				v := float32(r.Float64()*1.2 - .1)
				if isCodes {
					v = float32(r.IntN(4))
					rows[i].Codes = append(rows[i].Codes, uint8(v))
				} else {
					rows[i].Values = append(rows[i].Values, v)
				}
				values[c] = append(values[c], float64(v))
			}
		}
		s := runStrip(t, j, mapUnits{rows: rows, count: cells, cells: cells})
		for c := range cells {
			slow := slowDoubt{t: t, j: j, values: values[c]}
			slow.check(s, c, fmt.Sprintf("seed %d, profile %d (%v), cell %d", seed, n, p.Rule, c))
		}
	}
}

type slowDoubt struct {
	t      *testing.T
	j      *doubting
	values []float64
}

func (w slowDoubt) S(p *suitability.Profile) float64 {
	x, err := p.Explain(w.values)
	if err != nil {
		w.t.Fatal(err)
	}
	return x.S
}

func (w slowDoubt) check(s *drawnStrip, unit int, where string) {
	w.t.Helper()
	stated := w.S(w.j.profile)
	classes := suitability.Classes{.2, .4, .6, .8}
	for k := range doubtSources {
		var draws []float64
		moved, mean := 0, 0.0
		for i := range w.j.draws {
			x := w.S(w.j.draws[i].with(w.j.profile, k))
			draws = append(draws, x)
			mean += x / float64(len(w.j.draws))
			if classes.Of(x) != classes.Of(stated) {
				moved++
			}
		}
		variance := 0.0
		for _, x := range draws {
			variance += (x - mean) * (x - mean) / float64(len(draws))
		}
		if got := s.moment[k][unit].variance(float64(len(draws))); !within(got, variance, 1e-6) {
			w.t.Fatalf("%s: variance of %s %g, want %g", where, doubtNames[k], got, variance)
		}
		if got := int(s.moved[k][unit]); got != moved {
			w.t.Fatalf("%s: %s moves it in %d draws, want %d", where, doubtNames[k], got, moved)
		}
		if k == doubtAll {
			w.checkAll(s, unit, where, draws)
		}
	}
	w.checkChange(s, unit, where, stated)
}

func (w slowDoubt) checkAll(s *drawnStrip, unit int, where string, draws []float64) {
	w.t.Helper()
	slices.Sort(draws)
	n := float64(len(draws))
	for _, q := range []struct {
		share float64
		got   uint8
	}{{.1, s.spread[unit].p10}, {.5, s.spread[unit].median}, {.9, s.spread[unit].p90}} {
		x := draws[int(math.Ceil(q.share*n-1e-9))-1]
		if a, b := suitability.EncodeByte(x-1e-6), suitability.EncodeByte(x+1e-6); q.got != a && q.got != b {
			w.t.Fatalf("%s: quantile %g is %d, want %d", where, q.share, q.got, a)
		}
	}
	counts := map[int]int{}
	for _, x := range draws {
		counts[suitability.Classes{.2, .4, .6, .8}.Of(x)]++
	}
	class, share := s.modal(unit)
	if most := counts[int(class)]; float64(most) != math.Round(share*n) || most != max(counts[0], counts[1], counts[2], counts[3], counts[4]) {
		w.t.Fatalf("%s: class %d in %g of draws, counted %v", where, class, share, counts)
	}
}

// checkChange finds the single change with plain sums.
func (w slowDoubt) checkChange(s *drawnStrip, unit int, where string, stated float64) {
	w.t.Helper()
	classes := suitability.Classes{.2, .4, .6, .8}
	words := w.j.changes()
	moves := func(p *suitability.Profile) (float64, bool) {
		x := w.S(p)
		return math.Abs(x - stated), classes.Of(x) != classes.Of(stated)
	}
	names := ratingNames(w.j.profile)
	best, want := 0.0, words[0] // only what moves more, or less, by over 1e-6 is better
	try := func(step float64) {
		for i, name := range names {
			for _, by := range []float64{step, -step} {
				word := name + map[bool]string{true: " rated higher", false: " rated lower"}[by > 0]
				if i >= len(names)-len(w.j.profile.Multipliers) {
					word = "factor " + name + map[bool]string{true: " higher", false: " lower"}[by > 0]
				}
				if d, ok := moves(shiftedProfile(w.j.profile, i, by)); ok && (want == words[0] || d > best+1e-6) {
					best, want = d, word
				}
			}
		}
	}
	rules := func() {
		for _, k := range []suitability.RuleKind{suitability.Arithmetic, suitability.Geometric, suitability.Minimum} {
			if k == w.j.profile.Rule.Kind {
				continue
			}
			a := drawnAssumptions{rule: k}
			if d, ok := moves(a.with(w.j.profile, doubtRule)); ok && (want == words[0] || d < best-1e-6) {
				best, want = d, fmt.Sprintf("rule %v", k)
			}
		}
	}
	for _, step := range []func(){func() { try(.05) }, func() { try(.1) }, rules, func() { try(.15) }, func() { try(.2) }} {
		if want == words[0] {
			step()
		}
	}
	if got := words[s.change[unit]]; got != want {
		w.t.Fatalf("%s: %q, want %q", where, got, want)
	}
}

// A rating shifted by so much is the curve shifted and held within 0 and 1.
func TestShiftedCurve(t *testing.T) {
	const seed = 9
	r := rand.New(rand.NewPCG(seed, 0))
	for range 300 {
		c := suitability.Curve{{X: 0, Y: r.Float64()}, {X: 1, Y: r.Float64()}, {X: 2, Y: r.Float64()}, {X: 3, Y: 1}, {X: 4, Y: 0}}
		by := r.Float64()*.4 - .2
		shifted := shiftedCurve(c, by)
		for range 20 {
			x := r.Float64()*5 - .5
			if got, want := shifted.Rate(x), min(max(c.Rate(x)+by, 0), 1); !within(got, want, 1e-9) {
				t.Fatalf("seed %d: %v by %g at %g: %g, want %g", seed, c, by, x, got, want)
			}
		}
	}
}

// Higher ratings can only raise the quantiles: the same draws serve every cell.
func TestDoubtIsMonotone(t *testing.T) {
	j := doubtOf(twoCriteria(suitability.Geometric), DefaultDoubt(200, 17))
	const n = 100
	u := mapUnits{rows: make([]suitability.Row, 2), count: n, cells: n}
	for i := range n {
		x := float32(i) / n
		u.rows[0].Values, u.rows[1].Values = append(u.rows[0].Values, x), append(u.rows[1].Values, .2+x/2)
	}
	s := runStrip(t, j, u)
	for i := 1; i < n; i++ {
		a, b := s.spread[i-1], s.spread[i]
		if b.p10 < a.p10 || b.median < a.median || b.p90 < a.p90 || b.p10 > b.median || b.median > b.p90 {
			t.Fatalf("unit %d: %v after %v", i, b, a)
		}
	}
}

// A unit of several cells is their mean in every draw; with one cell each it is
// the cell; and how units are cut into strips makes no difference.
func TestUnitsOfSquares(t *testing.T) {
	j := doubtOf(twoCriteria(suitability.Geometric), DefaultDoubt(60, 5))
	rows := []suitability.Row{{Values: []float32{.25, .3, .9, .8, .7}}, {Values: []float32{1, .5, .3, .2, .1}}}
	single := runStrip(t, j, mapUnits{rows: rows, count: 5, cells: 5})
	ones := runStrip(t, j, mapUnits{rows: rows, count: 5, cells: 5, ends: []int{1, 2, 3, 4, 5}, known: []int{1, 1, 1, 1, 1}})
	for i := range 5 {
		if single.spread[i] != ones.spread[i] || single.change[i] != ones.change[i] {
			t.Errorf("unit %d: %v %d, %v %d", i, single.spread[i], single.change[i], ones.spread[i], ones.change[i])
		}
	}
	all := mapUnits{rows: rows, count: 2, cells: 5, ends: []int{2, 5}, known: []int{4, 3}}
	whole := runStrip(t, j, all)
	// Two of four known cells are 0 in every draw.
	if want := (single.stated[0] + single.stated[1]) / 4; !within(float64(whole.stated[0]), float64(want), 1e-7) {
		t.Errorf("mean %g, want %g", whole.stated[0], want)
	}
	last := runStrip(t, j, all.part(1, 2))
	if last.spread[0] != whole.spread[1] || last.change[0] != whole.change[1] || last.stated[0] != whole.stated[1] {
		t.Errorf("cut off alone, %v became %v", whole.spread[1], last.spread[0])
	}
}

func TestImpossibleDraws(t *testing.T) {
	for _, spoil := range []func(*Doubt){
		func(d *Doubt) { d.Draws = 9 }, func(d *Doubt) { d.Draws = 10001 }, func(d *Doubt) { d.Concentration = 0 },
		func(d *Doubt) { d.Concentration = math.NaN() }, func(d *Doubt) { d.KnotX = -1 }, func(d *Doubt) { d.KnotY = math.NaN() },
		func(d *Doubt) { d.Rules = []suitability.RuleKind{suitability.Power} },
	} {
		d := DefaultDoubt(500, 1)
		spoil(&d)
		if err := d.Check(); !errors.Is(err, ErrDraws) {
			t.Errorf("%+v: %v", d, err)
		}
	}
	if err := DefaultDoubt(500, 1).Check(); err != nil {
		t.Error(err)
	}
}

// BenchmarkDoubt reports nanoseconds per cell and draw for six criteria in three
// requisites, and how long 691,200 cells and 500 draws would take on one core.
func BenchmarkDoubt(b *testing.B) {
	p := &suitability.Profile{ID: "bench", Floor: .01}
	const n = 1 << 14
	r := rand.New(rand.NewPCG(1, 2))
	u := mapUnits{count: n, cells: n}
	for g := range 3 {
		q := suitability.Requisite{ID: fmt.Sprint(g), Weight: 1}
		for i := range 2 {
			q.Criteria = append(q.Criteria, suitability.Criterion{ID: fmt.Sprint(i), Weight: 1, Measure: slot(2*g + i), Rating: suitability.Curve{{X: 0, Y: 0}, {X: 200, Y: .4}, {X: 500, Y: 1}, {X: 900, Y: .1}}})
			row := make([]float32, n)
			for k := range row {
				row[k] = float32(500 + 520*math.Sin(float64(k)/90+float64(i+g)) + r.NormFloat64()*3)
			}
			u.rows = append(u.rows, suitability.Row{Values: row})
		}
		p.Requisites = append(p.Requisites, q)
	}
	d := DefaultDoubt(500, 1)
	j := doubtOf(p, d)
	b.ReportAllocs()
	for b.Loop() {
		runStrip(b, j, u)
	}
	per := float64(b.Elapsed().Nanoseconds()) / float64(b.N) / n / float64(d.Draws)
	b.ReportMetric(per, "ns/cell-draw")
	b.ReportMetric(per*691200*500/1e9, "s/district")
}
