package suitability

import (
	"math"

	"tussock/layers"
)

// offerKeeper is a reader that keeps what species offer to others, so that
// predators with the same prey share it.
type offerKeeper interface {
	offer(s Subject, w layers.Window) (layers.Block, error)
}

// offerOf is what a species offers to others in each cell of a window: see
// [NearbySpecies].
func offerOf(r layers.Reader, s Subject, w layers.Window) (layers.Block, error) {
	if k, ok := r.(offerKeeper); ok {
		return k.offer(s, w)
	}
	var measured []layers.Block
	for _, m := range s.Profile.Measures() {
		b, err := m.Eval(r, w)
		if err != nil {
			return layers.Block{}, err
		}
		measured = append(measured, b)
	}
	return s.offer(measured, w)
}

// offer evaluates the species' measures, which lie in blocks of the window.
func (s Subject) offer(measured []layers.Block, w layers.Window) (layers.Block, error) {
	out := layers.NewValues(w)
	documented, factors := s.Range.Block(w), offerFactors(s.Profile.ShowHistoric)
	err := overRows(s.Profile, measured, w, out.ValueRow, func(row int, S []float32, _ []uint8) {
		for i, at := range documented.CodeRow(row) {
			S[i] = shown(S[i], factors[at])
		}
	})
	return out, err
}

// offerSlowly is offer by the reference path.
func (s Subject) offerSlowly(measured []layers.Block, w layers.Window) (layers.Block, error) {
	out := layers.NewValues(w)
	documented, factors := s.Range.Block(w), offerFactors(s.Profile.ShowHistoric)
	inputs, values := s.Profile.inputs(), make([]float64, len(measured))
	for row := w.Row; row < w.Bottom(); row++ {
		to := out.ValueRow(row)
		for i, at := range documented.CodeRow(row) {
			for k, b := range measured {
				values[k] = valueAt(b, w.Col+i, row)
			}
			to[i] = shown(float32(s.Profile.explain(inputs, values).S), factors[at])
		}
	}
	return out, nil
}

// offerFactors are the public range factors by standing in the range, with 0
// for nothing to show.
func offerFactors(historic bool) (factors [RangeNotDocumented + 1]float32) {
	for _, standing := range Standings() {
		if f := PublicFactor(standing, historic); !math.IsNaN(f) {
			factors[standing] = float32(f)
		}
	}
	return factors
}

// overRows evaluates a profile row by row: S goes into the rows of habitat, and
// each row is handed on with a flag for every excluded cell.
func overRows(p *Profile, measured []layers.Block, w layers.Window, habitat func(row int) []float32, each func(row int, S []float32, excluded []uint8)) error {
	evaluator, err := NewEvaluator(p)
	if err != nil {
		return err
	}
	rows, excluded := make([]Row, len(measured)), make([]uint8, w.Cols)
	for row := w.Row; row < w.Bottom(); row++ {
		for i, b := range measured {
			rows[i] = RowOf(b, row)
		}
		S := habitat(row)
		if err := evaluator.Row(rows, S, excluded); err != nil {
			return err
		}
		each(row, S, excluded)
	}
	return nil
}
