package suitability

import (
	"errors"
	"math"
	"strings"
	"testing"

	"tussock/layers"
)

// measured is a measure that is only a name: the model never takes one.
type measured struct {
	key   string
	reach float64
}

func (m measured) Key() string               { return m.key }
func (m measured) Reach() float64            { return m.reach }
func (m measured) LayerNames() []string      { return []string{m.key} }
func (m measured) Unit() string              { return "" }
func (m measured) Check(layers.Reader) error { return nil }
func (m measured) Eval(layers.Reader, layers.Window) (layers.Block, error) {
	return layers.Block{}, errors.New("only a name")
}

// heath is a small profile that uses every part once.
func heath() *Profile {
	below := 25.0
	return &Profile{
		ID: "heathling", Name: "Heathling", Scientific: "Erica nusquam", Floor: DefaultFloor, EdgeM: 2000,
		Requisites: []Requisite{
			{ID: "cover", Weight: .6, Criteria: []Criterion{
				{ID: "heath", Weight: .75, Measure: measured{"share heath", 300}, Rating: Curve{{0, 0}, {.5, 1}}, Source: "assumption"},
				{ID: "soil", Weight: .25, Measure: measured{"soil", 0}, Rating: Table{1, .1}, Source: "assumption"},
			}},
			{ID: "warmth", Weight: .4, Criteria: []Criterion{
				{ID: "slope", Weight: 1, Measure: measured{"slope", 10}, Rating: Curve{{0, .5}, {10, 1}, {30, 0}}, Source: "assumption"},
			}},
		},
		Multipliers: []Multiplier{{ID: "roads", Measure: measured{"roads", 250}, Rating: PressureCurve(.4), Source: "assumption"}},
		Exclusions: []Exclusion{
			{ID: "water", Measure: measured{"soil", 0}, Classes: []uint8{1}},
			{ID: "quarry", Measure: measured{"quarry", 100}, Below: &below},
		},
	}
}

func TestAValidProfile(t *testing.T) {
	p := heath()
	for _, err := range append(p.Validate(), p.CheckWeightSums()...) {
		t.Error(err)
	}
	var keys []string
	for _, m := range p.Measures() {
		keys = append(keys, m.Key())
	}
	if got := strings.Join(keys, ", "); got != "share heath, soil, slope, roads, quarry" {
		t.Errorf("measures %s", got)
	}
	if p.Reach() != 2000 {
		t.Errorf("reach %g, want the range's edge", p.Reach())
	}
	if p.EdgeM = 0; p.Reach() != 300 {
		t.Errorf("reach %g, want that of the share", p.Reach())
	}
}

func TestEveryMistakeIsListedWithItsPlace(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		path  string
		spoil func(*Profile)
	}{
		{"id", func(p *Profile) { p.ID = "" }},
		{"floor", func(p *Profile) { p.Floor = 1 }},
		{"floor", func(p *Profile) { p.Floor = nan }},
		{"range.edge", func(p *Profile) { p.EdgeM = -1 }},
		{"missing", func(p *Profile) { p.Missing = Missing{MissingStated, 1.5} }},
		{"rule.power", func(p *Profile) { p.Rule = Rule{Kind: Power, Exponent: nan} }},
		{"rule.ordered", func(p *Profile) { p.Rule = Rule{Kind: Ordered, Weights: []float64{1}} }},
		{"rule.ordered[1]", func(p *Profile) { p.Rule = Rule{Kind: Ordered, Weights: []float64{2, -1}} }},
		{"requisites", func(p *Profile) { p.Requisites = nil }},
		{"requisites", func(p *Profile) { p.Requisites[0].Weight, p.Requisites[1].Weight = 0, 0 }},
		{"requisites[1].id", func(p *Profile) { p.Requisites[1].ID = "cover" }},
		{"requisites[1].weight", func(p *Profile) { p.Requisites[1].Weight = nan }},
		{"requisites[1].criteria", func(p *Profile) { p.Requisites[1].Criteria = nil }},
		{"requisites[0].criteria[1].weight", func(p *Profile) { p.Requisites[0].Criteria[1].Weight = math.Inf(1) }},
		{"requisites[0].criteria[1].table[0]", func(p *Profile) { p.Requisites[0].Criteria[1].Rating = Table{2, .1} }},
		{"requisites[0].criteria[0].curve", func(p *Profile) { p.Requisites[0].Criteria[0].Rating = Curve{{0, 1}} }},
		{"requisites[0].criteria[0].curve[1]", func(p *Profile) { p.Requisites[0].Criteria[0].Rating = Curve{{0, 0}, {0, 1}} }},
		{"requisites[0].criteria[0].curve[1]", func(p *Profile) { p.Requisites[0].Criteria[0].Rating = Curve{{0, 0}, {1, nan}} }},
		{"requisites[0].criteria[0]", func(p *Profile) { p.Requisites[0].Criteria[0].Rating = nil }},
		{"requisites[0].criteria[0].measure", func(p *Profile) { p.Requisites[0].Criteria[0].Measure = nil }},
		{"multipliers[0].id", func(p *Profile) { p.Multipliers[0].ID = "" }},
		{"exclusions[0]", func(p *Profile) { p.Exclusions[0].Classes = nil }},
		{"exclusions[1].below", func(p *Profile) { p.Exclusions[1].Below = &nan }},
	} {
		p := heath()
		c.spoil(p)
		errs := p.Validate()
		var field *FieldError
		if len(errs) != 1 || !errors.As(errs[0], &field) || field.Path != c.path {
			t.Errorf("want one mistake at %s, got %v", c.path, errs)
		}
		if _, err := NewEvaluator(p); err == nil {
			t.Errorf("a profile with a mistake at %s was compiled", c.path)
		}
		p.Hash() // must not panic
	}
}

func TestWeightSums(t *testing.T) {
	p := heath()
	p.Requisites[0].Criteria[0].Weight = .7
	p.Requisites[1].Weight += 5e-7
	errs := p.CheckWeightSums()
	if len(errs) != 1 || !strings.HasPrefix(errs[0].Error(), "requisites[0].criteria: weights sum to 0.95") {
		t.Errorf("got %v", errs)
	}
}

func TestHashFollowsTheCells(t *testing.T) {
	seen := map[string]string{heath().Hash(): "the profile itself"}
	for name, change := range map[string]func(*Profile){
		"id":          func(p *Profile) { p.ID = "other" },
		"scientific":  func(p *Profile) { p.Scientific = "Erica alia" },
		"rule":        func(p *Profile) { p.Rule.Kind = Minimum },
		"exponent":    func(p *Profile) { p.Rule = Rule{Kind: Power, Exponent: 2} },
		"ordered":     func(p *Profile) { p.Rule = Rule{Kind: Ordered, Weights: []float64{.5, .5}} },
		"floor":       func(p *Profile) { p.Floor = math.Nextafter(p.Floor, 1) },
		"missing":     func(p *Profile) { p.Missing.Kind = MissingLeaveOut },
		"stated":      func(p *Profile) { p.Missing = Missing{MissingStated, .5} },
		"sensitivity": func(p *Profile) { p.Sensitivity = layers.HighSensitivity },
		"edge":        func(p *Profile) { p.EdgeM++ },
		"historic":    func(p *Profile) { p.ShowHistoric = true },
		"weight":      func(p *Profile) { p.Requisites[1].Weight = .41 },
		"criterion":   func(p *Profile) { p.Requisites[0].Criteria[0].Weight = .7 },
		"measure":     func(p *Profile) { p.Requisites[0].Criteria[0].Measure = measured{"share heath 2", 300} },
		"knot":        func(p *Profile) { p.Requisites[0].Criteria[0].Rating = Curve{{0, 0}, {.51, 1}} },
		"table":       func(p *Profile) { p.Requisites[0].Criteria[1].Rating = Table{1, .2} },
		"split":       func(p *Profile) { p.Requisites[0].Criteria = p.Requisites[0].Criteria[:1] },
		"multiplier":  func(p *Profile) { p.Multipliers[0].Rating = PressureCurve(.5) },
		"classes":     func(p *Profile) { p.Exclusions[0].Classes = []uint8{0} },
		"above":       func(p *Profile) { p.Exclusions[1].Above, p.Exclusions[1].Below = p.Exclusions[1].Below, nil },
		"none":        func(p *Profile) { p.Exclusions = nil },
	} {
		p := heath()
		change(p)
		if other, taken := seen[p.Hash()]; taken {
			t.Errorf("changing %s gives the hash of %s", name, other)
		}
		seen[p.Hash()] = name
	}
	words := heath()
	words.Name, words.Group, words.Source = "Ling", "shrub", "a book"
	words.Requisites[0].Criteria[0].Source = "another book"
	if words.Hash() != heath().Hash() {
		t.Error("words alone change the hash")
	}
}

func TestExplain(t *testing.T) {
	p := heath()
	// share, soil, slope, roads, quarry
	e, err := p.Explain([]float64{.25, 0, 5, .5, 80})
	if err != nil {
		t.Fatal(err)
	}
	cover, warmth := .75*.5+.25*1, .75
	near(t, "cover", e.Requisites[0].Value, cover, 1e-15)
	near(t, "warmth", e.Requisites[1].Value, warmth, 1e-15)
	near(t, "H", e.H, math.Pow(cover, .6)*math.Pow(warmth, .4), 1e-15)
	near(t, "S", e.S, e.H*.8, 1e-15)

	for _, c := range []struct {
		what   string
		values []float64
		miss   Missing
		S      float64
		out    bool
	}{
		{"a floor keeps a poor criterion above 0", []float64{0, 0, 100, 0, 80}, Missing{}, math.Pow(.75*.01+.25, .6) * math.Pow(.01, .4), false},
		{"excluded by class", []float64{.25, 1, 5, .5, 80}, Missing{}, 0, true},
		{"excluded by distance, whatever is unknown", []float64{math.NaN(), 0, 5, .5, 24}, Missing{}, 0, true},
		{"unknown", []float64{math.NaN(), 0, 5, 0, 80}, Missing{}, math.NaN(), false},
		{"unknown exclusion", []float64{.25, 0, 5, 0, math.NaN()}, Missing{}, math.NaN(), false},
		{"criterion left out", []float64{math.NaN(), 0, 10, 0, 80}, Missing{Kind: MissingLeaveOut}, 1, false},
		{"requisite left out", []float64{.5, 0, math.NaN(), 0, 80}, Missing{Kind: MissingLeaveOut}, 1, false},
		{"multiplier left out", []float64{.5, 0, 10, math.NaN(), 80}, Missing{Kind: MissingLeaveOut}, 1, false},
		{"nothing left", []float64{math.NaN(), math.NaN(), math.NaN(), 0, 80}, Missing{Kind: MissingLeaveOut}, math.NaN(), false},
		{"stated", []float64{.5, 0, math.NaN(), math.NaN(), math.NaN()}, Missing{MissingStated, .5}, math.Pow(.5, .4) * .5, false},
	} {
		p.Missing = c.miss
		e, err := p.Explain(c.values)
		if err != nil {
			t.Fatal(err)
		}
		if e.Excluded != c.out || math.IsNaN(e.S) != math.IsNaN(c.S) || math.Abs(e.S-c.S) > 1e-15 {
			t.Errorf("%s: S %g, excluded %v; want %g, %v", c.what, e.S, e.Excluded, c.S, c.out)
		}
	}
	if _, err := p.Explain([]float64{1}); err == nil {
		t.Error("too few values were taken")
	}
}

func TestCurve(t *testing.T) {
	c := Curve{{0, 1}, {250, 1}, {600, .5}, {1200, .1}}
	for x, want := range map[float64]float64{-5: 1, 0: 1, 250: 1, 425: .75, 600: .5, 900: .3, 1200: .1, 1e9: .1} {
		near(t, "curve", c.Rate(x), want, 1e-15)
	}
	if !math.IsNaN(c.Rate(math.NaN())) {
		t.Error("an unknown measure has a rating")
	}
}

func TestTable(t *testing.T) {
	table := Table{.5, math.NaN(), 0}
	for code, want := range map[float64]float64{0: .5, 2: 0} {
		near(t, "table", table.Rate(code), want, 0)
	}
	for _, code := range []float64{1, 3, 255, -1, math.NaN()} {
		if !math.IsNaN(table.Rate(code)) {
			t.Errorf("code %g has a rating", code)
		}
	}
}

func TestParseMissing(t *testing.T) {
	for _, text := range []string{"unknown", "leave out", "0.25"} {
		if m, err := ParseMissing(text); err != nil || m.String() != text {
			t.Errorf("%q reads as %v, %v", text, m, err)
		}
	}
	for _, text := range []string{"zero", "1.5", "NaN"} {
		if m, err := ParseMissing(text); err == nil {
			t.Errorf("%q reads as %v", text, m)
		}
	}
}
