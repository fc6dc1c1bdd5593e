package layers

import "fmt"

// Value is the layer at the cell itself: its class, its number, or its features
// as the layer's own settings burn them.
//
// Unit: the layer's. Reach: 0. Unknown: where the layer is.
type Value struct {
	Layer     string
	LayerUnit string // the layer's unit, only for showing
}

// Key implements [Measure].
func (v Value) Key() string { return fmt.Sprintf("value layer=%q", v.Layer) }

// Reach implements [Measure].
func (v Value) Reach() float64 { return 0 }

// LayerNames implements [Measure].
func (v Value) LayerNames() []string { return []string{v.Layer} }

// Unit implements [Measure].
func (v Value) Unit() string { return v.LayerUnit }

// Check implements [Measure].
func (v Value) Check(r Reader) error {
	_, err := r.Layer(v.Layer)
	return err
}

// Eval implements [Measure]. A layer of classes gives classes.
func (v Value) Eval(r Reader, w Window) (Block, error) { return r.Read(v.Layer, w) }
