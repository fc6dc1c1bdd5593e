package suitability

import (
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// tally counts what became of the cells, as windows go by.
type tally struct {
	old, now states
	codes    []uint8 // of change, by old and new state

	cells    [][]uint64  // by old and new state
	hectares [][]float64 // on the ellipsoid
	counts   []uint32    // of one chunk, by old·count(now) + new

	shown, changed, values, standings area   // cells that either shows; that differ at all; in their number; in their standing
	shownSame                         uint64 // of the shown cells, those with the same number and state
	rise, fall                        Extreme
}

// area is a number of cells and what they cover.
type area struct {
	cells    uint64
	hectares float64
}

func (a *area) add(cells uint32, hectares float64) {
	a.cells += uint64(cells)
	a.hectares += float64(cells) * hectares
}

// Extreme is the cell in which suitability changed most, the first in rows from
// the north-west where several did. Its Change is 0 where none did.
type Extreme struct {
	Change float64   `json:"change"` // new − old suitability
	Col    int       `json:"column"`
	Row    int       `json:"row"`
	Centre orb.Point `json:"centre"` // in the grid's CRS
}

func newTally(old, now states, comparable bool) *tally {
	t := &tally{old: old, now: now, codes: changeCodes(old, now, comparable), counts: make([]uint32, old.count()*now.count())}
	for range old.count() {
		t.cells = append(t.cells, make([]uint64, now.count()))
		t.hectares = append(t.hectares, make([]float64, now.count()))
	}
	return t
}

// pair is one window of two versions, cell by cell.
type pair struct {
	window   layers.Window
	old, now versionCells
	// made from the two:
	steps      []float64 // new − old, steps of 0.005
	difference []uint8
	change     []uint8
}

// versionCells are the cells of one version in a window.
type versionCells struct {
	steps                    []float64 // suitability in steps of 0.005; NaN for unknown
	classes, standing, state []uint8
}

// compare fills what is made from the two versions.
func (t *tally) compare(p *pair) {
	n := p.window.Cells()
	p.steps, p.difference, p.change = resized(p.steps, n), resized(p.difference, n), resized(p.change, n)
	width := t.now.count()
	for i := range n {
		p.steps[i] = p.now.steps[i] - p.old.steps[i]
		p.difference[i] = differenceCode(p.steps[i])
		p.change[i] = t.codes[int(p.old.state[i])*width+int(p.now.state[i])]
	}
}

// add counts a window's cells, chunk by chunk.
func (t *tally) add(p *pair, areas *layers.CellAreas, g layers.Grid) error {
	side := areas.Side()
	for row := p.window.Row; row < p.window.Bottom(); row += side {
		for col := p.window.Col; col < p.window.Right(); col += side {
			w := layers.Window{Col: col, Row: row, Cols: side, Rows: side}.Intersect(p.window)
			cell, err := areas.Cell(col/side, row/side)
			if err != nil {
				return err
			}
			t.chunk(p, w, cell/1e4)
		}
	}
	t.extremes(p, g)
	return nil
}

// chunk counts cells of one size.
func (t *tally) chunk(p *pair, w layers.Window, hectares float64) {
	clear(t.counts)
	var shown, changed, values, standings uint32
	width := t.now.count()
	for row := w.Row; row < w.Bottom(); row++ {
		from := (row-p.window.Row)*p.window.Cols + w.Col - p.window.Col
		for i := from; i < from+w.Cols; i++ {
			a, b := p.old.state[i], p.now.state[i]
			t.counts[int(a)*width+int(b)]++
			value := differ(p.old.steps[i], p.now.steps[i])
			standing := p.old.standing[i] != p.now.standing[i]
			if int(a) < int(t.old) || int(b) < int(t.now) {
				shown++
				t.shownSame += uint64(bit(!value && !t.moved(a, b)))
			}
			values += bit(value)
			standings += bit(standing)
			changed += bit(value || standing || p.old.classes[i] != p.now.classes[i])
		}
	}
	for i, n := range t.counts {
		t.cells[i/width][i%width] += uint64(n)
		t.hectares[i/width][i%width] += float64(n) * hectares
	}
	t.shown.add(shown, hectares)
	t.changed.add(changed, hectares)
	t.values.add(values, hectares)
	t.standings.add(standings, hectares)
}

// moved tells whether a cell's state changed; the states behind the classes are
// the same in both versions.
func (t *tally) moved(a, b uint8) bool {
	was, is := int(a)-int(t.old), int(b)-int(t.now) // negative for classes
	switch {
	case was < 0 && is < 0:
		return a != b
	case was >= 0 && is >= 0:
		return was != is
	}
	return true
}

// differ tells two numbers apart; two unknown ones are the same.
func differ(a, b float64) bool { return a != b && (a == a || b == b) }

func bit(yes bool) uint32 {
	if yes {
		return 1
	}
	return 0
}

// extremes keeps the greatest rise and fall.
func (t *tally) extremes(p *pair, g layers.Grid) {
	for i, steps := range p.steps {
		change := steps / byteSteps
		switch {
		case steps > 0 && change >= t.rise.Change:
			t.rise = t.rise.or(p.extreme(i, change, g))
		case steps < 0 && change <= t.fall.Change:
			t.fall = t.fall.or(p.extreme(i, change, g))
		}
	}
}

func (p *pair) extreme(i int, change float64, g layers.Grid) Extreme {
	x := Extreme{Change: change, Col: p.window.Col + i%p.window.Cols, Row: p.window.Row + i/p.window.Cols}
	x.Centre = g.Centre(x.Col, x.Row)
	return x
}

// or is the farther from 0 of two, and of equal ones the first in rows.
func (x Extreme) or(y Extreme) Extreme {
	switch a, b := math.Abs(x.Change), math.Abs(y.Change); {
	case a > b:
		return x
	case b > a:
		return y
	case y.Row < x.Row || y.Row == x.Row && y.Col < x.Col:
		return y
	}
	return x
}
