package suitability

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// randomChain draws species of which each may look for any before it, on a
// small piece of the landscape.
func randomChain(t testing.TB, r *rand.Rand, grid layers.Grid) []Subject {
	var list []Subject
	for i := range 4 {
		p := &Profile{ID: fmt.Sprintf("s%d", i), Floor: DefaultFloor, ShowHistoric: r.IntN(2) == 0,
			Rule: Rule{Kind: []RuleKind{Geometric, Arithmetic, Minimum}[r.IntN(3)]}, Missing: Missing{Kind: MissingKind(r.IntN(3)), Value: 0.4}}
		for k := range 1 + r.IntN(2) {
			p.Requisites = append(p.Requisites, Requisite{ID: fmt.Sprint(k), Weight: 1 + r.Float64(), Criteria: randomCriteria(r)})
		}
		if i > 0 {
			near := NearbySpecies{Radius: 5 + 60*r.Float64()}
			for _, k := range r.Perm(i)[:1+r.IntN(min(i, 2))] {
				near.Others = append(near.Others, list[k])
			}
			c := Criterion{ID: "others", Weight: 1, Measure: near, Rating: Curve{{0.1, 0.05}, {0.5, 0.4}, {0.9, 1}}}
			p.Requisites[0].Criteria = append(p.Requisites[0].Criteria, c)
		}
		list = append(list, Subject{Profile: p, Range: randomTriangles(t, r, grid)})
	}
	return list
}

func randomCriteria(r *rand.Rand) []Criterion {
	rising := Curve{{0, 0.1}, {0.6 + r.Float64(), 1}}
	all := []Criterion{
		{ID: "heath", Weight: 1, Measure: layers.Share{Layer: "cover", Radius: 20 + 60*r.Float64(), Weights: map[string]float64{"heath": 1, "wood": r.Float64()}}, Rating: rising},
		{ID: "water", Weight: 2, Measure: layers.Distance{Layer: "cover", Classes: []string{"water"}, Limit: 150}, Rating: Curve{{0, 1}, {150, 0.1}}},
		{ID: "class", Weight: 1, Measure: layers.Value{Layer: "cover"}, Rating: Table{r.Float64(), 1, 0.3}},
		{ID: "height", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 30}, Rating: Curve{{0, 0.1}, {300, 1}}},
	}
	from := r.IntN(len(all))
	return all[from:min(from+1+r.IntN(2), len(all))]
}

// randomTriangles is a few triangles of any status, or none.
func randomTriangles(t testing.TB, r *rand.Rand, grid layers.Grid) *RangeMap {
	var polygons []RangePolygon
	for range r.IntN(4) {
		at := func() orb.Point {
			return orb.Point{grid.West + grid.Cell*float64(grid.Cols)*(1.6*r.Float64()-0.3), grid.North - grid.Cell*float64(grid.Rows)*(1.6*r.Float64()-0.3)}
		}
		ring := orb.Ring{at(), at(), at()}
		polygons = append(polygons, RangePolygon{Status: RangeStatus(1 + r.IntN(5)), Geometry: orb.MultiPolygon{{append(ring, ring[0])}}})
	}
	m, err := NewRangeMap(polygons, grid, float64(r.IntN(2)*80))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// slowChain works a chain out cell by cell, each disc cell by cell, from
// measures of the ground alone.
type slowChain struct {
	t      testing.TB
	job    *Job
	window layers.Window // wide enough for all discs
	plain  map[string]layers.Block
	memo   map[slowCell]float64
	takes  map[*Profile][]layers.Measure
	inputs map[*Profile][]int
	ranges map[*RangeMap]layers.Block
}

type slowCell struct {
	profile  *Profile
	col, row int
}

func newSlowChain(t testing.TB, j *Job) *slowChain {
	return &slowChain{t: t, job: j, window: j.Grid.Window().Grow(30), plain: map[string]layers.Block{}, memo: map[slowCell]float64{}, takes: map[*Profile][]layers.Measure{}, inputs: map[*Profile][]int{}, ranges: map[*RangeMap]layers.Block{}}
}

func (c *slowChain) suitability(s Subject, col, row int) float64 {
	key := slowCell{s.Profile, col, row}
	S, known := c.memo[key]
	if known {
		return S
	}
	if c.takes[s.Profile] == nil {
		c.takes[s.Profile], c.inputs[s.Profile] = s.Profile.Measures(), s.Profile.inputs()
	}
	var values []float64
	for _, m := range c.takes[s.Profile] {
		values = append(values, c.value(m, col, row))
	}
	S = s.Profile.explain(c.inputs[s.Profile], values).S
	c.memo[key] = S
	return S
}

func (c *slowChain) value(m layers.Measure, col, row int) float64 {
	if near, ok := m.(NearbySpecies); ok {
		return c.near(near, col, row)
	}
	b, known := c.plain[m.Key()]
	if !known {
		var err error
		if b, err = m.Eval(c.job.Layers, c.window); err != nil {
			c.t.Fatal(err)
		}
		c.plain[m.Key()] = b
	}
	return valueAt(b, col, row)
}

func (c *slowChain) near(near NearbySpecies, col, row int) float64 {
	best := math.Inf(-1)
	for _, s := range near.Others {
		n := int(near.Radius/c.job.Grid.Cell) + 1
		cells, known, most := 0, 0, math.NaN()
		for y := -n; y <= n; y++ {
			for x := -n; x <= n; x++ {
				if math.Hypot(float64(x), float64(y))*c.job.Grid.Cell > near.Radius {
					continue
				}
				cells++
				offer := c.offer(s, col+x, row+y)
				if offer == offer {
					known++
					most = math.Max(offer, most)
					if most != most {
						most = offer
					}
				}
			}
		}
		if 10*known < 6*cells {
			return math.NaN()
		}
		best = max(best, most)
	}
	return best
}

// offer is S where the species is documented, uncertain, introduced, historic
// and shown, or documented nowhere; else 0.
func (c *slowChain) offer(s Subject, col, row int) float64 {
	b, known := c.ranges[s.Range]
	if !known {
		b = s.Range.Block(c.window)
		c.ranges[s.Range] = b
	}
	switch Standing(b.Code(col, row)) {
	case Historic:
		if !s.Profile.ShowHistoric {
			return 0
		}
	case Vagrant, Edge, Outside:
		return 0
	}
	return c.suitability(s, col, row)
}

// The engine's fast path, a reader that keeps nothing, and the reference path,
// all against brute force.
func TestRandomChainsAgainstBruteForce(t *testing.T) {
	t.Parallel()
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	worst, assessed, unknown, between := 0.0, 0, 0, 0
	for range 4 {
		grid := landscapeGrid(t)
		grid.West, grid.North = grid.West+float64(10*r.IntN(1200)), grid.North-float64(10*r.IntN(1000))
		grid.Cols, grid.Rows = 40+r.IntN(10), 30+r.IntN(10)
		j := richJob(t, grid, Floats, layers.Staff)
		j.Subjects = randomChain(t, r, grid)
		slow := newSlowChain(t, j)
		p, err := j.Plan(512, 1)
		if err != nil {
			t.Fatal(err)
		}
		ground, desk := newGround(j, grid.Window(), p.profiles([]int{0, 1, 2, 3})), &desk{}
		for _, i := range r.Perm(4) {
			s := j.Subjects[i]
			if err := ground.assess(desk, s); err != nil {
				t.Fatal(err)
			}
			for row := range grid.Rows {
				for col := range grid.Cols {
					got, want := float64(desk.cells.habitat[desk.cells.at(col, row)]), slow.suitability(s, col, row)
					if (got == got) != (want == want) {
						t.Fatalf("seed %d: %s, cell %d %d: %g, not %g", seed, s.Profile.ID, col, row, got, want)
					}
					if want != want {
						unknown++
						continue
					}
					assessed++
					worst = max(worst, math.Abs(got-want))
					if want > 0.05 && want < 0.95 {
						between++
					}
				}
			}
			compareChainCells(t, r, j, s, slow)
		}
		if n := ground.held(); n != 0 {
			t.Errorf("%d blocks are still held", n)
		}
	}
	if worst > 1e-6 || assessed < 2000 || between < assessed/10 {
		t.Errorf("worst difference %g of %d assessed cells, %d unknown, %d between", worst, assessed, unknown, between)
	}
	t.Logf("worst difference %.3g of %d assessed cells, %d unknown", worst, assessed, unknown)
}

// compareChainCells holds the reference path and a plain reader against brute
// force in a few cells.
func compareChainCells(t *testing.T, r *rand.Rand, j *Job, s Subject, slow *slowChain) {
	t.Helper()
	for range 6 {
		col, row := r.IntN(j.Grid.Cols), r.IntN(j.Grid.Rows)
		x, err := j.ExplainCell(s, j.Grid.Centre(col, row))
		if err != nil {
			t.Fatal(err)
		}
		if want := slow.suitability(s, col, row); !(math.Abs(x.S-want) <= 1e-6) && (x.S == x.S || want == want) {
			t.Fatalf("%s, cell %d %d: explained %g, not %g", s.Profile.ID, col, row, x.S, want)
		}
		for _, m := range s.Profile.Measures() {
			if near, ok := m.(NearbySpecies); ok {
				b, err := near.Eval(j.Layers, layers.Window{Col: col, Row: row, Cols: 1, Rows: 1})
				if err != nil {
					t.Fatal(err)
				}
				got, want := float64(b.Value(col, row)), slow.near(near, col, row)
				if !(math.Abs(got-want) <= 1e-6) && (got == got || want == want) {
					t.Fatalf("%s, cell %d %d: %g near by, not %g", s.Profile.ID, col, row, got, want)
				}
			}
		}
	}
}

// What a chain's key must and must not notice.
func TestChainKeys(t *testing.T) {
	grid := landscapeGrid(t)
	chain := func(change func(prey, middle *Subject)) string {
		prey := Subject{Profile: &Profile{ID: "prey", Requisites: []Requisite{{ID: "r", Weight: 1, Criteria: []Criterion{{ID: "c", Weight: 1, Measure: layers.Value{Layer: "elev"}, Rating: identity}}}}}, Range: everyStatus(t, grid, 0)}
		middle := Subject{Profile: &Profile{ID: "middle"}}
		change(&prey, &middle)
		middle.Profile.Requisites = []Requisite{{ID: "r", Weight: 1, Criteria: []Criterion{{ID: "c", Weight: 1, Measure: NearbySpecies{Others: []Subject{prey}, Radius: 50}, Rating: identity}}}}
		top := NearbySpecies{Others: []Subject{middle, {Profile: &Profile{ID: "other"}}}, Radius: 30}
		if got := top.LayerNames(); fmt.Sprint(got) != "[elev]" {
			t.Errorf("layers %v", got)
		}
		return top.Key()
	}
	before := chain(func(_, _ *Subject) {})
	for name, change := range map[string]func(prey, middle *Subject){
		"curve":     func(prey, _ *Subject) { prey.Profile.Requisites[0].Criteria[0].Rating = Curve{{0, 0}, {2, 1}} },
		"range":     func(prey, _ *Subject) { prey.Range = nil },
		"historic":  func(prey, _ *Subject) { prey.Profile.ShowHistoric = true },
		"middle":    func(_, middle *Subject) { middle.Profile.Floor = 0.2 },
		"its range": func(_, middle *Subject) { middle.Range = everyStatus(t, grid, 0) },
	} {
		if chain(change) == before {
			t.Errorf("%s: the key stays", name)
		}
	}
	if chain(func(prey, _ *Subject) { prey.Profile.Name = "another word" }) != before {
		t.Error("a name changes the key")
	}
	a, b := Subject{Profile: &Profile{ID: "a"}}, Subject{Profile: &Profile{ID: "b"}}
	if (NearbySpecies{Others: []Subject{a, b}}).Key() != (NearbySpecies{Others: []Subject{b, a}}).Key() {
		t.Error("the order of species changes the key")
	}
}

func TestChainReachAddsUp(t *testing.T) {
	of := func(id string, edge float64, m layers.Measure) Subject {
		return Subject{Profile: &Profile{ID: id, EdgeM: edge, Requisites: []Requisite{{ID: "r", Weight: 1, Criteria: []Criterion{{ID: "c", Weight: 1, Measure: m, Rating: identity}}}}}}
	}
	prey := of("prey", 5000, layers.Mean{Layer: "elev", Radius: 70}) // a range's edge shapes no suitability
	middle := of("middle", 0, NearbySpecies{Others: []Subject{prey}, Radius: 200})
	near := NearbySpecies{Others: []Subject{middle, of("other", 0, layers.Mean{Layer: "elev", Radius: 90})}, Radius: 30}
	if near.Reach() != 300 {
		t.Errorf("reach %g", near.Reach())
	}
	for _, wrong := range []NearbySpecies{{Radius: 5}, {Others: []Subject{prey}}, {Others: []Subject{prey}, Radius: math.Inf(1)}, {Others: []Subject{prey, prey}, Radius: 5}} {
		if wrong.Check(nil) == nil {
			t.Errorf("%+v passes", wrong)
		}
	}
}

// counted counts how often it is taken.
type counted struct {
	layers.Mean
	times *int
}

func (c counted) Eval(r layers.Reader, w layers.Window) (layers.Block, error) {
	*c.times++
	return c.Mean.Eval(r, w)
}

// Prey that two hunters and a hunter of theirs share is worked out once for a
// block, whoever comes first, and let go of at the end.
func TestPreyIsWorkedOutOncePerBlock(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	j := richJob(t, landscapeGrid(t), Floats, layers.Staff)
	times := 0
	prey := Subject{Profile: &Profile{ID: "prey", Requisites: []Requisite{{ID: "r", Weight: 1, Criteria: []Criterion{
		{ID: "c", Weight: 1, Measure: counted{layers.Mean{Layer: "elev", Radius: 50}, &times}, Rating: Curve{{0, 0}, {300, 1}}}}}}}}
	hunter := func(id string, radius float64, others ...Subject) Subject {
		return Subject{Profile: &Profile{ID: id, Requisites: []Requisite{{ID: "r", Weight: 1, Criteria: []Criterion{
			{ID: "c", Weight: 1, Measure: NearbySpecies{Others: others, Radius: radius}, Rating: identity}}}}}}
	}
	a, b := hunter("a", 40, prey), hunter("b", 90, prey)
	subjects := []Subject{prey, a, b, hunter("top", 60, a, b), hunter("too", 30, b, prey)}
	for range 5 {
		times = 0
		var profiles []*Profile
		for _, s := range subjects {
			profiles = append(profiles, s.Profile)
		}
		g := newGround(j, layers.Window{Col: 300, Row: 200, Cols: 40, Rows: 30}, profiles)
		for _, i := range r.Perm(len(subjects)) {
			if err := g.assess(&desk{}, subjects[i]); err != nil {
				t.Fatal(err)
			}
		}
		if times != 1 || g.held() != 0 {
			t.Errorf("the prey was worked out %d times, %d blocks are still held", times, g.held())
		}
	}
}
