package layers

import (
	"fmt"
	"math"
)

// Distance is the distance from a cell to the nearest cell of some classes, or
// to the nearest feature, centre to centre and exact: cell · √(dx² + dy²), in
// metres. Beyond Limit it is Limit. A feature lies in every cell that it
// touches; a cell whose class is unknown is no member.
//
// Reach: Limit. Unknown: where the cell's own class is unknown; features are
// never unknown.
type Distance struct {
	Layer   string
	Classes []string // of a classes layer; none for features
	Limit   float64  // metres
}

// Key implements [Measure].
func (d Distance) Key() string {
	return fmt.Sprintf("distance layer=%q classes=%s limit=%s", d.Layer, keyNames(d.Classes), keyNumber(d.Limit))
}

// Reach implements [Measure].
func (d Distance) Reach() float64 { return d.Limit }

// LayerNames implements [Measure].
func (d Distance) LayerNames() []string { return []string{d.Layer} }

// Unit implements [Measure].
func (d Distance) Unit() string { return "m" }

// Check implements [Measure].
func (d Distance) Check(r Reader) error {
	_, _, err := d.members(r)
	return err
}

// members finds the layer and, for classes, the members' codes.
func (d Distance) members(r Reader) (*Layer, []uint8, error) {
	layer, err := layerOfKind(r, "distance", d.Layer, Classes, Features)
	if err != nil {
		return nil, nil, err
	}
	if err := checkMetres("distance", d.Layer, "the limit", d.Limit); err != nil {
		return nil, nil, err
	}
	switch {
	case layer.Kind == Features && len(d.Classes) > 0:
		return nil, nil, fmt.Errorf("layers: distance to layer %q: features have no classes; hint: leave classes out", d.Layer)
	case layer.Kind == Classes && len(d.Classes) == 0:
		return nil, nil, fmt.Errorf("layers: distance to layer %q: no class is named; hint: it has %s", d.Layer, classNames(layer))
	}
	codes, err := classCodes(layer, "distance", d.Classes)
	return layer, codes, err
}

// Eval implements [Measure].
func (d Distance) Eval(r Reader, w Window) (Block, error) {
	layer, codes, err := d.members(r)
	if err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	limit := squaredCells(d.Limit, cell)
	grown := w.Grow(wholeRoot(limit))
	if layer.Kind == Features {
		source, err := r.Burn(d.Layer, Burn{Kind: BurnTouch}, grown)
		if err != nil {
			return Block{}, err
		}
		return d.measure(w, cell, limit, burnedMembers(source)), nil
	}
	source, err := r.Read(d.Layer, grown)
	if err != nil {
		return Block{}, err
	}
	out := d.measure(w, cell, limit, classMembers(source, codes))
	hideUnknown(out, source)
	return out, nil
}

// measure turns squared cells into metres.
func (d Distance) measure(w Window, cell float64, limit int, members func(int, []int32)) Block {
	out := NewValues(w)
	metres := metresOfSquares(cell, limit)
	most := float32(d.Limit)
	distanceRows(w, limit, members, func(row int, squared []int64) {
		to := out.ValueRow(row)
		for i, s := range squared {
			switch {
			case s == edtFar:
				to[i] = most
			case s < int64(len(metres)):
				to[i] = metres[s]
			default:
				to[i] = float32(cell * math.Sqrt(float64(s)))
			}
		}
	})
	return out
}

// metresOfSquares tabulates the near distances, where a table is faster than
// a root.
func metresOfSquares(cell float64, limit int) []float32 {
	table := make([]float32, min(limit+1, 1<<12))
	for s := range table {
		table[s] = float32(cell * math.Sqrt(float64(s)))
	}
	return table
}

// classMembers reads the cells of some classes off a block.
func classMembers(b Block, codes []uint8) func(row int, open []int32) {
	var table [256]int32
	for i := range table {
		table[i] = -1
	}
	for _, code := range codes {
		table[code] = 0
	}
	return func(row int, open []int32) {
		for i, code := range b.CodeRow(row) {
			open[i] = table[code]
		}
	}
}

// burnedMembers reads the cells that a feature touches off a block.
func burnedMembers(b Block) func(row int, open []int32) {
	return func(row int, open []int32) {
		for i, v := range b.ValueRow(row) {
			open[i] = -1
			if v > 0 {
				open[i] = 0
			}
		}
	}
}

// hideUnknown makes the cells unknown whose own class is.
func hideUnknown(out, source Block) {
	nan := float32(math.NaN())
	w := out.Window
	own := source.Part(w)
	for row := w.Row; row < w.Bottom(); row++ {
		to := out.ValueRow(row)
		for i, code := range own.CodeRow(row) {
			if code == NoClass {
				to[i] = nan
			}
		}
	}
}
