package suitability

import (
	"tussock/layers"
)

// ground is what is measured once for one block and used by all its species.
type ground struct {
	job     *Job
	window  layers.Window
	reader  layers.Reader
	measure map[string]layers.Block
	users   map[string]int // how many species have yet to use a measure
}

func newGround(j *Job, w layers.Window, profiles []*Profile) *ground {
	reach := map[string]float64{}
	users := map[string]int{}
	for _, p := range profiles {
		for _, m := range p.Measures() {
			users[m.Key()]++
			for _, name := range m.LayerNames() {
				reach[name] = max(reach[name], m.Reach())
			}
		}
	}
	return &ground{job: j, window: w, reader: thrifty{j.Layers.Block(reach, w), j.Layers}, measure: map[string]layers.Block{}, users: users}
}

// thrifty is a block's reader that does not keep features burned by attribute.
// Road pressure burns one group of roads for each number of vehicles, and nobody
// asks for it again: kept, a few hundred of them would fill any memory.
type thrifty struct {
	layers.Reader
	set *layers.Set
}

// Burn implements [layers.Reader].
func (t thrifty) Burn(layer string, how layers.Burn, w layers.Window) (layers.Block, error) {
	if len(how.Where) > 0 {
		return t.set.Burn(layer, how, w)
	}
	return t.Reader.Burn(layer, how, w)
}

// measures are the measured blocks in the profile's order.
func (g *ground) measures(p *Profile) ([]layers.Block, error) {
	var blocks []layers.Block
	for _, m := range p.Measures() {
		b, known := g.measure[m.Key()]
		if !known {
			var err error
			if b, err = m.Eval(g.reader, g.window); err != nil {
				return nil, err
			}
			g.measure[m.Key()] = b
		}
		blocks = append(blocks, b)
	}
	return blocks, nil
}

// done lets go of the measures that no species after this one uses, so that
// memory is bounded by what species share and not by how many there are.
func (g *ground) done(p *Profile) {
	for _, m := range p.Measures() {
		key := m.Key()
		if g.users[key]--; g.users[key] == 0 {
			delete(g.measure, key)
		}
	}
}

// assess fills a desk's cells with one species' results.
func (g *ground) assess(desk *desk, s Subject) error {
	measured, err := g.measures(s.Profile)
	if err != nil {
		return err
	}
	evaluator, err := NewEvaluator(s.Profile)
	if err != nil {
		return err
	}
	w := g.window
	c := desk.cells.over(w)
	desk.excluded = resized(desk.excluded, w.Cols)
	rows := make([]Row, len(measured))
	documented := s.Range.Block(w)
	rule := newRangeRule(s.Profile.ShowHistoric)
	for row := w.Row; row < w.Bottom(); row++ {
		for i, b := range measured {
			rows[i] = RowOf(b, row)
		}
		from, to := c.at(w.Col, row), c.at(w.Right(), row)
		if err := evaluator.Row(rows, c.habitat[from:to], desk.excluded); err != nil {
			return err
		}
		rule.row(documented.CodeRow(row), c.habitat[from:to], desk.excluded, c.suitability[from:to], c.standing[from:to])
	}
	g.done(s.Profile)
	return nil
}

// rangeRule is the public range rule as tables, by the standing in the range.
type rangeRule struct {
	factors   [RangeNotDocumented + 1]float32     // NaN shows nothing
	standings [4 * (RangeNotDocumented + 1)]uint8 // by range, whether it is excluded, and whether it is assessed
}

func newRangeRule(historic bool) *rangeRule {
	r := &rangeRule{}
	for _, standing := range Standings() {
		r.factors[standing] = float32(PublicFactor(standing, historic))
		for flags := range 4 {
			r.standings[4*int(standing)+flags] = uint8(StandingAt(standing, flags&1 != 0, flags&2 != 0))
		}
	}
	return r
}

func (r *rangeRule) row(inRange []uint8, habitat []float32, excluded []uint8, suitability []float32, standings []uint8) {
	excluded, suitability, standings = excluded[:len(habitat)], suitability[:len(habitat)], standings[:len(habitat)]
	for i, S := range habitat {
		at := inRange[i]
		flags := 4*int(at) + 2*int(excluded[i]&1)
		if S == S {
			flags++
		}
		standings[i] = r.standings[flags]
		suitability[i] = shown(S, r.factors[at])
	}
}

// shown is what the public range rule lets through. A factor of 0 is an answer
// even where the habitat could not be assessed.
func shown(S, factor float32) float32 {
	if factor == 0 {
		return 0
	}
	return S * factor
}
