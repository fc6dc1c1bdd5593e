package suitability

import (
	"math"

	"tussock/layers"
)

// term is a rating ready for use, its weight multiplied in: a table with an
// entry for every byte, or a curve.
type term struct {
	input   int
	weight  float64
	missing float64 // what stands for an unknown rating, weight multiplied in; NaN for nothing
	table   *[256]float64
	curve   *ramps
}

// add adds the weighted rating of cells from..to to a row that starts at from.
func (t *term) add(dst []float64, measures []Row, from, to int) {
	row := measures[t.input]
	switch {
	case t.table != nil:
		addTable(dst, row.Codes[from:to], t.table)
	default:
		t.curve.add(dst, row.Values[from:to], t.missing)
	}
}

// scaled is the term with a further weight.
func (t term) scaled(by float64) term {
	t.weight *= by
	t.missing *= by
	if t.table != nil {
		table := *t.table
		for i := range table {
			table[i] *= by
		}
		t.table = &table
	} else {
		t.curve = t.curve.scaled(by)
	}
	return t
}

func addTable(dst []float64, codes []uint8, table *[256]float64) {
	dst = dst[:len(codes)]
	for i, code := range codes {
		dst[i] += table[code]
	}
}

// compileTable gives every code its floored and scaled rating; missing where
// there is none.
func compileTable(t Table, floor, scale, missing float64) *[256]float64 {
	table := new([256]float64)
	for code := range table {
		rating := t.Rate(float64(code))
		if code == int(layers.NoClass) || math.IsNaN(rating) {
			table[code] = missing
			continue
		}
		table[code] = max(rating, floor) * scale
	}
	return table
}
