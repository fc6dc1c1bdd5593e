package layers

import (
	"cmp"
	"slices"
)

// nearFeature is a feature that may count somewhere in a window.
type nearFeature struct {
	shape    *shape
	score    float64
	segments []segment
	touched  []span // the cells that it touches, around the window; only where a barrier may hide it
}

// nearSearch finds the best feature for each cell of a window. The best ones
// are tried first: once a cell has as much as a feature's whole score, neither
// that feature nor any later one can do better, for fading only takes away.
type nearSearch struct {
	fade        Fade
	limit, cell float64     // metres
	cut         *barrierCut // nil without a barrier
	hidden      []bool      // by cell, whether a barrier may hide a feature; nil without one
	features    []nearFeature
}

// add takes up a feature, unless its score is 0 or not known.
func (n *nearSearch) add(s *shape, score float64) {
	if score > 0 {
		n.features = append(n.features, nearFeature{shape: s, score: score, segments: segmentsOf(s)})
	}
}

// best raises each cell to its best feature, tile by tile. Tiles only sort out
// features and edges that cannot matter, so that no cell depends on them.
func (n *nearSearch) best(out Block) {
	slices.SortStableFunc(n.features, func(a, b nearFeature) int { return cmp.Compare(b.score, a.score) })
	n.touch()
	w := out.Window
	tile := nearTile{limit: n.limit / n.cell, burner: newBurner(Window{Rows: nearTileSide}, n.cell)}
	for row := w.Row; row < w.Bottom(); row += nearTileSide {
		for col := w.Col; col < w.Right(); col += nearTileSide {
			tile.begin(w.Intersect(Window{col, row, nearTileSide, nearTileSide}), n.features)
			if len(tile.near) > 0 {
				n.tile(&tile, out)
			}
		}
	}
}

// touch finds the cells that each feature touches, and those that a barrier is
// near.
func (n *nearSearch) touch() {
	if n.cut == nil {
		return
	}
	n.hidden = n.cut.near()
	w := n.cut.flood.free.window
	b := newBurner(w, n.cell)
	for i := range n.features {
		f := &n.features[i]
		b.touched(f.shape, true, func(row, from, to int) {
			f.touched = append(f.touched, span{int32(row - w.Row), int32(from - w.Col), int32(to - 1 - w.Col)})
		})
	}
}

// tile looks at each cell of a tile.
func (n *nearSearch) tile(t *nearTile, out Block) {
	for row := t.window.Row; row < t.window.Bottom(); row++ {
		to := out.ValueRow(row)
		for col := t.window.Col; col < t.window.Right(); col++ {
			hidden := n.hidden != nil && n.hidden[out.offset(row)+col-out.Window.Col]
			to[col-out.Window.Col] = n.bestAt(t, col, row, hidden)
		}
	}
}

// bestAt is the best of one cell. Where a barrier may hide features, the flood
// goes out once, when the first feature asks for it.
func (n *nearSearch) bestAt(t *nearTile, col, row int, hidden bool) float32 {
	best, flooded := float32(0), false
	for k, i := range t.near {
		f := &n.features[i]
		if float32(f.score) <= best {
			break
		}
		metres := t.distance(k, f, col, row) * n.cell
		if metres > n.limit {
			continue
		}
		v := float32(f.score * n.fade.Factor(metres))
		if !(v > best) {
			continue
		}
		if hidden && !flooded {
			n.cut.flood.from(col, row)
			flooded = true
		}
		if !hidden || n.cut.flood.meetsAny(f.touched) {
			best = v
		}
	}
	return best
}
