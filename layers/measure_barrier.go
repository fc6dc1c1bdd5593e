package layers

import (
	"fmt"
	"math"
)

// Barrier cuts a disc: what lies behind the busy roads does not count. A flood
// goes out from the disc's centre, inside the disc, from cell to cell through
// their four sides; it never enters a cell that is touched by a feature of
// Layer with a traffic of at least From. Only cells that the flood reaches
// count. The centre always does, and a centre on a barrier sees both sides.
// The zero Barrier cuts nothing.
//
// Touched cells are all that a road passes through, so that a flood through
// cells' sides cannot slip through at a corner. Habitat that could be reached
// without crossing a road told more of the frogs and toads in ponds than all
// habitat around them did (Eigenbrod, Hecnar and Fahrig 2008, Landscape Ecology
// 23:159-168).
type Barrier struct {
	Layer string  // features with a traffic attribute; "" for no barrier
	From  float64 // vehicles per day
}

// key is what a barrier adds to a measure's key.
func (b Barrier) key() string {
	if b == (Barrier{}) {
		return ""
	}
	return fmt.Sprintf(" barrier=%q from=%s", b.Layer, keyNumber(b.From))
}

// with adds the barrier's layer to a measure's own.
func (b Barrier) with(layer string) []string {
	if b.Layer == "" || b.Layer == layer {
		return []string{layer}
	}
	return []string{layer, b.Layer}
}

// check tells whether the barrier can cut a measure of a layer.
func (b Barrier) check(r Reader, measure, layer string) error {
	_, err := b.roads(r, measure, layer)
	return err
}

// roads is the way to burn the barrier; one that burns nothing has no Where.
func (b Barrier) roads(r Reader, measure, of string) (how Burn, err error) {
	if b == (Barrier{}) {
		return how, nil
	}
	if b.Layer == "" {
		return how, fmt.Errorf("layers: %s of layer %q: the barrier names no layer; hint: name a layer of roads", measure, of)
	}
	layer, err := layerOfKind(r, fmt.Sprintf("the barrier of %s of layer %q", measure, of), b.Layer, Features)
	if err != nil {
		return how, err
	}
	if !(b.From >= 0) || math.IsInf(b.From, 0) {
		return how, fmt.Errorf("layers: %s of layer %q: the barrier starts from %g vehicles a day; it must be 0 or more", measure, of, b.From)
	}
	if layer.TrafficField == "" {
		return how, fmt.Errorf("layers: %s of layer %q: barrier layer %q has no attribute for traffic; "+
			"hint: name the attribute with the vehicles per day as that layer's traffic", measure, of, b.Layer)
	}
	how = Burn{Kind: BurnTouch, Field: layer.TrafficField}
	err = eachTraffic(layer, layer.TrafficField, func(value string, v float64) {
		if v >= b.From {
			how.Where = append(how.Where, value)
		}
	})
	if err != nil {
		return how, fmt.Errorf("layers: %s of layer %q: barrier layer %q: %w", measure, of, b.Layer, err)
	}
	return how, nil
}

// cut reads the barrier around a window; nil where no barrier cell lies within
// the shape around any cell of it.
func (b Barrier) cut(r Reader, measure, of string, w Window, shape disc) (*barrierCut, error) {
	how, err := b.roads(r, measure, of)
	if err != nil || len(how.Where) == 0 {
		return nil, err
	}
	grown := w.Grow(shape.radius)
	cells, err := r.Burn(b.Layer, how, grown)
	if err != nil || !anyBurned(cells) {
		return nil, err
	}
	inside := countSet(grown, w, func(row int, to []uint8) { burnedRow(cells, row, to) })
	return &barrierCut{flood: newFlood(newFreeRuns(cells), shape), window: w, inside: inside}, nil
}

// burnedRow tells for one row which cells a feature touches, 1 or 0.
func burnedRow(b Block, row int, to []uint8) {
	for i, v := range b.ValueRow(row) {
		to[i] = 0
		if v > 0 {
			to[i] = 1
		}
	}
}

// barrierCut is a barrier around a window.
type barrierCut struct {
	flood  *flood
	window Window
	inside countRow // barrier cells within the shape around each cell
}

// each calls see for the cells of a row whose shape holds a barrier cell, with
// the spans that the flood reaches; i counts from the window's first column.
func (c *barrierCut) each(row int, see func(i int, reached []span)) {
	if c == nil {
		return
	}
	for i, n := range c.inside(row, c.flood.shape.chords) {
		if n > 0 {
			see(i, c.flood.from(c.window.Col+i, row))
		}
	}
}

// near tells for each cell of the window, row by row, whether its shape holds a
// barrier cell.
func (c *barrierCut) near() []bool {
	near := make([]bool, 0, c.window.Cells())
	for row := c.window.Row; row < c.window.Bottom(); row++ {
		for _, n := range c.inside(row, c.flood.shape.chords) {
			near = append(near, n > 0)
		}
	}
	return near
}

// sums puts the sums over the reached cells in place of those over full discs.
// The numbers lie over the window grown by the shape's radius.
func (c *barrierCut) sums(row int, numbers *discSummer, to []int64) {
	c.each(row, func(i int, reached []span) { to[i] = numbers.spans(reached) })
}

// spans adds the numbers of cells given in columns and rows of the window.
func (d *discSummer) spans(spans []span) (sum int64) {
	for _, s := range spans {
		row := d.rows[int(s.row)*d.stride:]
		sum += row[s.to+1] - row[s.from]
	}
	return sum
}
