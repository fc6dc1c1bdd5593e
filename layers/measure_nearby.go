package layers

import "fmt"

// FeatureScore rates a feature by its attributes.
type FeatureScore interface {
	// Key is a canonical text of the rating, as [Measure.Key] is.
	Key() string
	// Fields are the attributes that the rating asks for.
	Fields() []string
	// Score is 0 to 1, or NaN where nothing is known of the feature. The map is
	// lent; an attribute without a value is not in it.
	Score(attributes map[string]string) float64
}

// Fade is how a feature's score shrinks with distance.
type Fade interface {
	// Key is a canonical text of the fading, as [Measure.Key] is.
	Key() string
	// Factor is 0 to 1 at a distance in metres.
	Factor(metres float64) float64
	// Limit is the distance in metres beyond which no feature counts.
	Limit() float64
}

// NearbyBest is the best feature near by, its score faded by distance:
//
//	max over features within the fade's limit of score(attributes) · factor(d)
//
// d is the exact distance in metres, in the plane of the grid, from the cell's
// centre to the feature; it is 0 inside a polygon. A feature that the score
// knows nothing of does not count. With a barrier, and where the disc of the
// limit holds a cell of it, a feature counts only if the flood from the cell
// reaches a cell that the feature touches.
//
// Unit: none, 0 to 1. Reach: the fade's limit. Never unknown: 0 where no
// feature counts.
type NearbyBest struct {
	Layer   string
	Score   FeatureScore
	Fade    Fade
	Barrier Barrier
}

// Key implements [Measure].
func (n NearbyBest) Key() string {
	if n.Score == nil || n.Fade == nil {
		return fmt.Sprintf("nearby best layer=%q, which has no score or no fade", n.Layer)
	}
	return fmt.Sprintf("nearby best layer=%q score=%q fade=%q", n.Layer, n.Score.Key(), n.Fade.Key()) + n.Barrier.key()
}

// Reach implements [Measure].
func (n NearbyBest) Reach() float64 {
	if n.Fade == nil {
		return 0
	}
	return n.Fade.Limit()
}

// LayerNames implements [Measure].
func (n NearbyBest) LayerNames() []string { return n.Barrier.with(n.Layer) }

// Unit implements [Measure].
func (n NearbyBest) Unit() string { return "" }

// Check implements [Measure].
func (n NearbyBest) Check(r Reader) error {
	layer, err := layerOfKind(r, "nearby best", n.Layer, Features)
	if err != nil {
		return err
	}
	if n.Score == nil || n.Fade == nil {
		return fmt.Errorf("layers: nearby best of layer %q: it needs both a score and a fade", n.Layer)
	}
	if err := checkMetres("nearby best", n.Layer, "the distance at which features end to count", n.Fade.Limit()); err != nil {
		return err
	}
	for _, field := range n.Score.Fields() {
		if err := checkField(layer, "nearby best", field); err != nil {
			return err
		}
	}
	return n.Barrier.check(r, "nearby best", n.Layer)
}

// Eval implements [Measure].
func (n NearbyBest) Eval(r Reader, w Window) (Block, error) {
	if err := n.Check(r); err != nil {
		return Block{}, err
	}
	layer, err := r.Layer(n.Layer)
	if err != nil {
		return Block{}, err
	}
	cell := r.Grid().Cell
	circle := newDisc(n.Fade.Limit(), cell)
	search := nearSearch{fade: n.Fade, limit: n.Fade.Limit(), cell: cell}
	if search.cut, err = n.Barrier.cut(r, "nearby best", n.Layer, w, circle); err != nil {
		return Block{}, err
	}
	err = layer.near(w, search.limit/cell+1, n.Score.Fields(), func(s *shape, attributes map[string]string) {
		search.add(s, n.Score.Score(attributes))
	})
	out := Block{Window: w, Values: make([]float32, w.Cells())}
	if err == nil {
		search.best(out)
	}
	return out, err
}
