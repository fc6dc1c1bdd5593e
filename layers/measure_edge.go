package layers

import "fmt"

// Edge is the length of edge between two sets of classes around a cell, per
// hectare of known ground:
//
//	cell side · shared sides / (known cells · cell² / 10,000)
//
// A side counts if one of the two cells that share it is of A and the other of
// B, and both cells' centres lie within Radius. Stairs of cells overstate a
// slanting edge, by up to 4/π on average over all directions and √2 at most.
//
// Unit: m per ha. Reach: Radius. Unknown: where fewer than 60 % of the disc's
// cells are known.
type Edge struct {
	Layer  string
	A, B   []string // classes; no class may be in both
	Radius float64  // metres
}

// Key implements [Measure]. The two sets may change places.
func (e Edge) Key() string {
	a, b := keyNames(e.A), keyNames(e.B)
	return fmt.Sprintf("edge layer=%q radius=%s between=%s,%s", e.Layer, keyNumber(e.Radius), min(a, b), max(a, b))
}

// Reach implements [Measure].
func (e Edge) Reach() float64 { return e.Radius }

// LayerNames implements [Measure].
func (e Edge) LayerNames() []string { return []string{e.Layer} }

// Unit implements [Measure].
func (e Edge) Unit() string { return "m per ha" }

// Check implements [Measure].
func (e Edge) Check(r Reader) error {
	_, err := e.sides(r)
	return err
}

// Marks of a cell in the table of an edge; a side is an edge if its two cells'
// marks make up both.
const (
	sideA    = 1
	sideB    = 2
	sideBoth = sideA | sideB
)

// sides marks each code as of A, of B or of neither.
func (e Edge) sides(r Reader) (marks [256]uint8, err error) {
	layer, err := layerOfKind(r, "edge", e.Layer, Classes)
	if err != nil {
		return marks, err
	}
	if err := checkMetres("edge", e.Layer, "the radius", e.Radius); err != nil {
		return marks, err
	}
	for i, names := range [][]string{e.A, e.B} {
		codes, err := classCodes(layer, "edge", names)
		if err != nil {
			return marks, err
		}
		if len(codes) == 0 {
			return marks, fmt.Errorf("layers: edge of layer %q needs classes on both sides; hint: it has %s",
				e.Layer, classNames(layer))
		}
		for _, code := range codes {
			if marks[code] != 0 {
				return marks, fmt.Errorf("layers: edge of layer %q: class %q is on both sides", e.Layer, layer.Classes[code].Name)
			}
			marks[code] = uint8(sideA << i)
		}
	}
	return marks, nil
}

// Eval implements [Measure].
func (e Edge) Eval(r Reader, w Window) (Block, error) {
	marks, err := e.sides(r)
	if err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	d := newDisc(e.Radius, cell)
	source, err := r.Read(e.Layer, w.Grow(d.radius))
	if err != nil {
		return Block{}, err
	}
	known := newKnownCells(source, w, d)
	count := edgeCounter(source, w, d, &marks)
	out := NewValues(w)
	for row := w.Row; row < w.Bottom(); row++ {
		sides, to := count(row), out.ValueRow(row)
		for i, n := range known.row(row) {
			if d.enough(int(n)) {
				to[i] = float32(float64(sides[i]) * 10000 / (float64(n) * cell))
			}
		}
	}
	return out, nil
}
