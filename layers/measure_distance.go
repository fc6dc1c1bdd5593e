package layers

import (
	"fmt"
	"math"
	"slices"
)

// Distance is the distance from a cell to the nearest cell of some classes, or
// to the nearest feature, centre to centre and exact: cell · √(dx² + dy²), in
// metres. Beyond Limit it is Limit. A feature lies in every cell that it
// touches; a cell whose class is unknown is no member. With several targets it
// is the least of their distances.
//
// Reach: Limit. Unknown: where the cell's own class is unknown; features are
// never unknown. With several targets a cell is unknown only if its class is
// unknown in every target of classes and no target is of features, for one
// known target gives a distance that is right or too long.
type Distance struct {
	Layer   string
	Classes []string // of a classes layer; none for features
	Limit   float64  // metres
	// Targets take the place of Layer and Classes where there are several.
	Targets []Target
}

// Key implements [Measure]. The targets' order means nothing.
func (d Distance) Key() string {
	if len(d.Targets) == 0 {
		return fmt.Sprintf("distance layer=%q classes=%s limit=%s", d.Layer, keyNames(d.Classes), keyNumber(d.Limit))
	}
	keys := make([]string, len(d.Targets))
	for i, t := range d.Targets {
		keys[i] = t.key()
	}
	return fmt.Sprintf("distance to=%s limit=%s", keyNames(keys), keyNumber(d.Limit))
}

// Reach implements [Measure].
func (d Distance) Reach() float64 { return d.Limit }

// LayerNames implements [Measure].
func (d Distance) LayerNames() []string {
	var names []string
	for _, t := range d.targets() {
		for _, name := range []string{t.Layer, t.Where.Layer} {
			if name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// Unit implements [Measure].
func (d Distance) Unit() string { return "m" }

// targets are the targets, the short form being one.
func (d Distance) targets() []Target {
	if len(d.Targets) == 0 {
		return []Target{{Layer: d.Layer, Classes: d.Classes}}
	}
	return d.Targets
}

// Check implements [Measure].
func (d Distance) Check(r Reader) error {
	if len(d.Targets) > 0 && (d.Layer != "" || len(d.Classes) > 0) {
		return fmt.Errorf("layers: distance has targets beside layer %q; hint: make that layer one of the targets", d.Layer)
	}
	for _, t := range d.targets() {
		if _, err := t.codes(r); err != nil {
			return err
		}
	}
	return checkMetres("distance", d.targets()[0].Layer, "the limit", d.Limit)
}

// Eval implements [Measure].
func (d Distance) Eval(r Reader, w Window) (Block, error) {
	if err := d.Check(r); err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	limit := squaredCells(d.Limit, cell)
	grown := w.Grow(wholeRoot(limit))
	all, err := readTargets(r, d.targets(), grown)
	if err != nil {
		return Block{}, err
	}
	out := d.measure(w, cell, limit, all.members())
	all.hideUnknown(out)
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
