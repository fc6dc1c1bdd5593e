package layers

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Share is how much of the ground around a cell is of the wanted classes:
//
//	Σ weight(class) / known cells,  over the cells whose centres lie within Radius
//
// Classes that are not named weigh 0. Of a features layer it is the mean of
// what the layer burns (centre, touch or share of area), and no weights are
// given. Weights are kept to 2⁻³⁰ and added as whole numbers. Behind a barrier
// all ground weighs 0, while the divisor stays: what can be reached is an amount
// (Eigenbrod, Hecnar and Fahrig 2008, Landscape Ecology 23:159-168).
//
// Unit: none, 0 to 1. Reach: Radius. Unknown: where fewer than 60 % of the
// disc's cells are known.
type Share struct {
	Layer   string
	Radius  float64            // metres
	Weights map[string]float64 // by class, 0 to 1; none for features
	Barrier Barrier
}

// fixedOne is weight 1 as a whole number.
const fixedOne = 1 << 30

// Key implements [Measure].
func (s Share) Key() string {
	weights := make([]string, 0, len(s.Weights))
	for _, class := range slices.Sorted(maps.Keys(s.Weights)) {
		weights = append(weights, strconv.Quote(class)+":"+keyNumber(s.Weights[class]))
	}
	return fmt.Sprintf("share layer=%q radius=%s weights=[%s]", s.Layer, keyNumber(s.Radius), strings.Join(weights, ",")) + s.Barrier.key()
}

// Reach implements [Measure].
func (s Share) Reach() float64 { return s.Radius }

// LayerNames implements [Measure].
func (s Share) LayerNames() []string { return s.Barrier.with(s.Layer) }

// Unit implements [Measure].
func (s Share) Unit() string { return "" }

// Check implements [Measure].
func (s Share) Check(r Reader) error {
	_, _, err := s.weights(r)
	return err
}

// weights finds the layer and, for classes, each code's weight.
func (s Share) weights(r Reader) (layer *Layer, byCode [256]int64, err error) {
	if layer, err = layerOfKind(r, "share", s.Layer, Classes, Features); err != nil {
		return nil, byCode, err
	}
	if err = checkMetres("share", s.Layer, "the radius", s.Radius); err != nil {
		return nil, byCode, err
	}
	if layer.Kind == Features && len(s.Weights) > 0 {
		return nil, byCode, fmt.Errorf("layers: share of layer %q: features have no classes; hint: leave classes out", s.Layer)
	}
	if layer.Kind == Classes && len(s.Weights) == 0 {
		return nil, byCode, fmt.Errorf("layers: share of layer %q: no class is named; hint: it has %s", s.Layer, classNames(layer))
	}
	names := slices.Sorted(maps.Keys(s.Weights))
	codes, err := classCodes(layer, "share", names)
	if err != nil {
		return nil, byCode, err
	}
	for i, name := range names {
		if err := checkUnit("share", s.Layer, fmt.Sprintf("the weight of class %q", name), s.Weights[name]); err != nil {
			return nil, byCode, err
		}
		byCode[codes[i]] = int64(math.Round(s.Weights[name] * fixedOne))
	}
	return layer, byCode, s.Barrier.check(r, "share", s.Layer)
}

// Eval implements [Measure].
func (s Share) Eval(r Reader, w Window) (Block, error) {
	_, byCode, err := s.weights(r)
	if err != nil {
		return Block{}, err
	}
	d := newDisc(s.Radius, r.Grid().Cell)
	source, err := r.Read(s.Layer, w.Grow(d.radius))
	if err != nil {
		return Block{}, err
	}
	cut, err := s.Barrier.cut(r, "share", s.Layer, w, d)
	if err != nil {
		return Block{}, err
	}
	known := newKnownCells(source, w, d)
	out := NewValues(w)
	sums := shareSums(source, byCode, w, cut)
	total := make([]int64, w.Cols)
	for row := w.Row; row < w.Bottom(); row++ {
		sums(row, d.chords, total)
		to := out.ValueRow(row)
		for i, n := range known.row(row) {
			if d.enough(int(n)) {
				to[i] = float32(float64(total[i]) / (float64(n) * fixedOne))
			}
		}
	}
	return out, nil
}

// shareSums picks the way to add a row's weights; all give the same numbers.
func shareSums(source Block, byCode [256]int64, w Window, cut *barrierCut) rowSums {
	if source.IsCodes() && cut == nil {
		if groups := weightGroups(byCode); len(groups) <= fewGroups {
			return groupSums(source, groups, w)
		}
	}
	summer := newDiscSummer(source.Window, shareNumbers(source, byCode))
	return func(row int, chords []chord, to []int64) {
		summer.row(row, w.Col, chords, to)
		cut.sums(row, summer, to)
	}
}

// shareNumbers weighs the cells of one row.
func shareNumbers(source Block, byCode [256]int64) func(row int, cells []int64) {
	if source.IsCodes() {
		return func(row int, cells []int64) {
			for i, code := range source.CodeRow(row) {
				cells[i] = byCode[code]
			}
		}
	}
	return func(row int, cells []int64) {
		for i, v := range source.ValueRow(row) {
			cells[i] = fixedShare(v)
		}
	}
}

// fixedShare is a burned share as a whole number, 0 where it is unknown.
func fixedShare(v float32) int64 {
	if !(v > 0) {
		return 0
	}
	return int64(math.Round(float64(min(v, 1)) * fixedOne))
}
