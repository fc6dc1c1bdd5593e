package layers

import (
	"fmt"
	"math"
)

// DensityOf is what a density counts.
type DensityOf uint8

// What a density may count.
const (
	ByCount  DensityOf = iota // features, each at its point or centroid: per km²
	ByLength                  // metres of line, cell by cell: km per km²
)

var densityNames = [...]string{"count", "length"}

func (d DensityOf) String() string {
	if int(d) < len(densityNames) {
		return densityNames[d]
	}
	return ""
}

// ParseDensityOf reads what to count; the empty string is "count".
func ParseDensityOf(name string) (DensityOf, error) {
	if name == "" {
		return ByCount, nil
	}
	for i, known := range densityNames {
		if name == known {
			return DensityOf(i), nil
		}
	}
	return 0, fmt.Errorf("layers: %q is nothing that a density counts; use count or length", name)
}

// Density is how much of a features layer lies around a cell:
//
//	Σ (features, or km of line) of the cells whose centres lie within Radius
//	/ km² of those cells
//
// Lengths and areas are in grid units, not on the ellipsoid. Lengths are added
// as whole micrometres-and-a-bit (2⁻²⁰ m), so that no order matters. Behind a
// barrier nothing counts, while the area stays that of the full disc.
//
// Unit: per km², or km per km². Reach: Radius. Never unknown.
type Density struct {
	Layer  string
	Radius float64 // metres
	By     DensityOf
	// Field and Where keep only the features whose attribute has one of these
	// values; empty keeps all.
	Field   string
	Where   []string
	Barrier Barrier
}

// Key implements [Measure].
func (d Density) Key() string {
	return fmt.Sprintf("density layer=%q radius=%s by=%s field=%q where=%s",
		d.Layer, keyNumber(d.Radius), d.By, d.Field, keyNames(d.Where)) + d.Barrier.key()
}

// Reach implements [Measure].
func (d Density) Reach() float64 { return d.Radius }

// LayerNames implements [Measure].
func (d Density) LayerNames() []string { return d.Barrier.with(d.Layer) }

// Unit implements [Measure].
func (d Density) Unit() string {
	if d.By == ByLength {
		return "km per km²"
	}
	return "per km²"
}

// Check implements [Measure].
func (d Density) Check(r Reader) error {
	layer, err := layerOfKind(r, "density", d.Layer, Features)
	if err != nil {
		return err
	}
	if d.By.String() == "" {
		return fmt.Errorf("layers: density of layer %q: %d is nothing that a density counts", d.Layer, d.By)
	}
	if len(d.Where) > 0 {
		if err := checkField(layer, "density", d.Field); err != nil {
			return err
		}
	}
	if err := checkMetres("density", d.Layer, "the radius", d.Radius); err != nil {
		return err
	}
	return d.Barrier.check(r, "density", d.Layer)
}

// burn is how the layer is brought to cells.
func (d Density) burn() Burn {
	b := Burn{Kind: BurnCount}
	if d.By == ByLength {
		b.Kind = BurnLength
	}
	if len(d.Where) > 0 {
		b.Field, b.Where = d.Field, d.Where
	}
	return b
}

// lengthBits is how many bits of a metre a length keeps.
const lengthBits = 20

// Eval implements [Measure].
func (d Density) Eval(r Reader, w Window) (Block, error) {
	if err := d.Check(r); err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	circle := newDisc(d.Radius, cell)
	source, err := r.Burn(d.Layer, d.burn(), w.Grow(circle.radius))
	if err != nil {
		return Block{}, err
	}
	cut, err := d.Barrier.cut(r, "density", d.Layer, w, circle)
	if err != nil {
		return Block{}, err
	}
	summer := newDiscSummer(source.Window, func(row int, cells []int64) {
		for i, v := range source.ValueRow(row) {
			cells[i] = int64(math.Round(float64(v) * (1 << lengthBits)))
		}
	})
	perCell := 1 / (circle.squareMetres(cell) / 1e6 * (1 << lengthBits))
	if d.By == ByLength {
		perCell /= 1000
	}
	out, sums := NewValues(w), make([]int64, w.Cols)
	for row := w.Row; row < w.Bottom(); row++ {
		summer.row(row, w.Col, circle.chords, sums)
		cut.sums(row, summer, sums)
		for i, to := 0, out.ValueRow(row); i < len(to); i++ {
			to[i] = float32(float64(sums[i]) * perCell)
		}
	}
	return out, nil
}
