package suitability

import (
	"fmt"
	"math"

	"tussock/layers"
)

// Row is one row of cells of one measure: class codes (layers.NoClass where
// unknown) or numbers (NaN where unknown), never both.
type Row struct {
	Codes  []uint8
	Values []float32
}

// RowOf is one row of a block, by the grid's row number.
func RowOf(b layers.Block, row int) Row {
	if b.IsCodes() {
		return Row{Codes: b.CodeRow(row)}
	}
	return Row{Values: b.ValueRow(row)}
}

// chunkCells is how many cells are worked on at a time: few enough for the
// scratch rows to stay in the first-level cache.
const chunkCells = 1024

// Evaluator is a profile compiled for rows of cells. Class tables are looked up
// by code with their weights multiplied in, curves find their segment by a
// direct index, and a geometric mean is a sum of logarithms with one exponential
// per cell. A cell's result depends on the cell alone, never on its place in the
// row, and differs from [Profile.Explain] by less than 1e-7.
//
// An Evaluator keeps scratch space: each goroutine needs its own [Evaluator.Clone].
type Evaluator struct {
	id       string
	rule     Rule
	missing  Missing
	inputs   []input
	groups   []group
	factors  []term
	excludes []exclude
	scratch
}

// input is a distinct measure and what its rows must hold.
type input struct {
	key   string
	codes bool
}

// group is a requisite with the weights of its criteria scaled to sum 1, or to
// the requisite's share of the whole where requisites simply add up.
type group struct {
	weight float64
	terms  []term
	logs   *[256]float64 // weight·log2 of the ratings, where one table says it all
}

// exclude is an exclusion ready for use: a flag for every class code, or limits
// that are infinite where there are none.
type exclude struct {
	input        int
	flags        *[256]uint8
	below, above float64
}

// scratch are the rows that one chunk needs, all of chunkCells.
type scratch struct {
	total  []float64   // the combination so far
	weight []float64   // weights known so far, for MissingLeaveOut
	rated  []float64   // one requisite, criterion or multiplier
	known  []float64   // weights known within one requisite
	each   [][]float64 // every requisite, for rules that need them all at once
	flags  []uint8
	R, W   []float64 // one cell's requisites
}

// Clone is the same evaluator with scratch space of its own.
func (e *Evaluator) Clone() *Evaluator {
	c := *e
	c.scratch = newScratch(len(e.groups))
	return &c
}

func newScratch(groups int) scratch {
	row := func() []float64 { return make([]float64, chunkCells) }
	s := scratch{total: row(), weight: row(), rated: row(), known: row(), flags: make([]uint8, chunkCells)}
	for range groups {
		s.each = append(s.each, row())
	}
	s.R, s.W = make([]float64, 0, groups), make([]float64, 0, groups)
	return s
}

// Row evaluates a row of cells. Measures are in the order of
// [Profile.Measures]. Out receives S: NaN where the cell is not assessed, 0
// where it is excluded, and excluded receives 1 there and 0 elsewhere. All must
// have the same length.
func (e *Evaluator) Row(measures []Row, out []float32, excluded []uint8) error {
	if err := e.checkRow(measures, len(out), len(excluded)); err != nil {
		return err
	}
	for from := 0; from < len(out); from += chunkCells {
		to := min(from+chunkCells, len(out))
		e.combine(measures, from, to)
		e.multiply(measures, from, to)
		e.exclude(measures, from, to)
		e.write(out[from:to], excluded[from:to])
	}
	return nil
}

func (e *Evaluator) checkRow(measures []Row, cells, flags int) error {
	if len(measures) != len(e.inputs) {
		return fmt.Errorf("suitability: profile %s takes rows of %d measures, got %d", e.id, len(e.inputs), len(measures))
	}
	if flags != cells {
		return fmt.Errorf("suitability: room for %d suitabilities but %d exclusions", cells, flags)
	}
	for i, in := range e.inputs {
		got, what := len(measures[i].Values), "numbers"
		if in.codes {
			got, what = len(measures[i].Codes), "class codes"
		}
		if got != cells {
			return fmt.Errorf("suitability: profile %s: measure %s has %d %s for %d cells", e.id, in.key, got, what, cells)
		}
	}
	return nil
}

// multiply applies the multipliers to the chunk in total.
func (e *Evaluator) multiply(measures []Row, from, to int) {
	total := e.total[:to-from]
	for i := range e.factors {
		rated := e.rated[:to-from]
		clear(rated)
		e.factors[i].add(rated, measures, from, to)
		if e.missing.Kind != MissingUnknown {
			fillUnknown(rated, e.missing.factor())
		}
		for j, f := range rated {
			total[j] *= f
		}
	}
}

// The flags of a cell while exclusions are gathered.
const (
	flagExcluded uint8 = 1
	flagUnknown  uint8 = 2
)

func (e *Evaluator) exclude(measures []Row, from, to int) {
	flags := e.flags[:to-from]
	clear(flags)
	for _, x := range e.excludes {
		row := measures[x.input]
		if x.flags != nil {
			for i, code := range row.Codes[from:to] {
				flags[i] |= x.flags[code]
			}
			continue
		}
		for i, v := range row.Values[from:to] {
			switch v := float64(v); {
			case v < x.below || v > x.above:
				flags[i] |= flagExcluded
			case v != v:
				flags[i] |= flagUnknown
			}
		}
	}
}

func (e *Evaluator) write(out []float32, excluded []uint8) {
	strict := e.missing.Kind == MissingUnknown
	total, flags := e.total[:len(out)], e.flags[:len(out)]
	for i := range out {
		s, flag := float32(total[i]), flags[i]
		switch {
		case flag&flagExcluded != 0:
			s = 0
		case s != s, flag != 0 && strict:
			s = unknown32 // always the same NaN
		}
		out[i], excluded[i] = s, flag&flagExcluded
	}
}

var unknown32 = float32(math.NaN())

func fillUnknown(row []float64, value float64) {
	for i, v := range row {
		if v != v {
			row[i] = value
		}
	}
}
