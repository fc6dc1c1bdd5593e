package suitability

import (
	"tussock/layers"
)

// ground is what is measured once for one block and used by all its species. It
// is the reader that their measures read by, and keeps what species offer to
// others near by.
type ground struct {
	layers.Reader
	job      *Job
	window   layers.Window
	measured map[string]*kept // by measure
	offers   map[string]*kept // by species
	evaluate func(Subject, []layers.Block, layers.Window) (layers.Block, error)
}

// kept is a block that is made once, for the window and as much around it as
// anybody needs, and let go after its last user.
type kept struct {
	around int // cells
	users  int // how many have yet to use it
	block  layers.Block
	known  bool
}

func newGround(j *Job, w layers.Window, profiles []*Profile) *ground {
	g := &ground{job: j, window: w, measured: map[string]*kept{}, offers: map[string]*kept{}, evaluate: Subject.offer}
	needs := needs{ground: g, reach: map[string]float64{}}
	for _, p := range profiles {
		needs.profile(p, 0, true)
	}
	g.Reader = thrifty{j.Layers.Block(needs.reach, w), j.Layers}
	return g
}

// thrifty is a block's reader that does not keep features burned by attribute.
// Road pressure burns one group of roads for each number of vehicles, and nobody
// asks for it again: kept, a few hundred of them would fill any memory. A barrier
// is burned again for each measure that it cuts, which is a hundredth of what its
// floods cost (BenchmarkBarrierBurn in layers).
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

// measures are the measured blocks in the profile's order, for a window that
// the ground was made for.
func (g *ground) measures(p *Profile, w layers.Window) ([]layers.Block, error) {
	var blocks []layers.Block
	for _, m := range p.Measures() {
		k := g.measured[m.Key()]
		if !k.known {
			b, err := m.Eval(g, g.window.Grow(k.around))
			if err != nil {
				return nil, err
			}
			k.block, k.known = b, true
			if near, ok := m.(NearbySpecies); ok {
				for _, s := range near.Others {
					g.offers[s.key()].used()
				}
			}
		}
		blocks = append(blocks, k.block.Part(w))
	}
	return blocks, nil
}

// used lets a block go after its last user, so that memory is bounded by what
// species share and not by how many there are.
func (k *kept) used() {
	if k.users--; k.users == 0 {
		k.block, k.known = layers.Block{}, false
	}
}

// done is called when a profile has no more use for its measures.
func (g *ground) done(p *Profile) {
	for _, m := range p.Measures() {
		g.measured[m.Key()].used()
	}
}

// offer implements [offerKeeper].
func (g *ground) offer(s Subject, w layers.Window) (layers.Block, error) {
	k := g.offers[s.key()]
	if !k.known {
		wide := g.window.Grow(k.around)
		measured, err := g.measures(s.Profile, wide)
		if err != nil {
			return layers.Block{}, err
		}
		if k.block, err = g.evaluate(s, measured, wide); err != nil {
			return layers.Block{}, err
		}
		k.known = true
		g.done(s.Profile)
	}
	return k.block.Part(w), nil
}

// assess fills a desk's cells with one species' results.
func (g *ground) assess(desk *desk, s Subject) error {
	w := g.window
	measured, err := g.measures(s.Profile, w)
	if err != nil {
		return err
	}
	c := desk.cells.over(w)
	habitat := func(row int) []float32 { return c.habitat[c.at(w.Col, row):c.at(w.Right(), row)] }
	documented := s.Range.Block(w)
	rule := newRangeRule(s.Profile.ShowHistoric)
	err = overRows(s.Profile, measured, w, habitat, func(row int, S []float32, excluded []uint8) {
		from, to := c.at(w.Col, row), c.at(w.Right(), row)
		rule.row(documented.CodeRow(row), S, excluded, c.suitability[from:to], c.standing[from:to])
	})
	g.done(s.Profile)
	return err
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
