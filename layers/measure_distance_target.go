package layers

import (
	"fmt"
	"math"
)

// Target is one thing to be near: the cells of some classes, or the cells that
// features touch, where a condition holds.
type Target struct {
	Layer   string
	Classes []string  // of a classes layer; none for features
	Where   Condition // the zero Condition always holds
}

// Condition holds where the number of a layer of kind quantity lies from From to
// To, both included; one of them may be missing. It does not hold where the
// number is unknown.
type Condition struct {
	Layer    string
	From, To *float64 // in the layer's unit
}

func (t Target) key() string {
	key := fmt.Sprintf("layer=%q classes=%s", t.Layer, keyNames(t.Classes))
	if t.Where.Layer == "" {
		return key
	}
	return key + fmt.Sprintf(" where=%q from=%s to=%s", t.Where.Layer, keyBound(t.Where.From), keyBound(t.Where.To))
}

func keyBound(v *float64) string {
	if v == nil {
		return "none"
	}
	return keyNumber(*v)
}

// codes checks the target and finds its classes; none for features.
func (t Target) codes(r Reader) ([]uint8, error) {
	layer, err := layerOfKind(r, "distance", t.Layer, Classes, Features)
	if err != nil {
		return nil, err
	}
	switch {
	case layer.Kind == Features && len(t.Classes) > 0:
		return nil, fmt.Errorf("layers: distance to layer %q: features have no classes; hint: leave classes out", t.Layer)
	case layer.Kind == Classes && len(t.Classes) == 0:
		return nil, fmt.Errorf("layers: distance to layer %q: no class is named; hint: it has %s", t.Layer, classNames(layer))
	}
	codes, err := classCodes(layer, "distance", t.Classes)
	if err != nil {
		return nil, err
	}
	return codes, t.Where.check(r, t.Layer)
}

func (c Condition) check(r Reader, target string) error {
	if c.Layer == "" {
		if c.From != nil || c.To != nil {
			return fmt.Errorf("layers: distance to layer %q: the condition names no layer", target)
		}
		return nil
	}
	if _, err := layerOfKind(r, fmt.Sprintf("the condition of distance to layer %q", target), c.Layer, Quantity); err != nil {
		return err
	}
	low, high := c.bounds()
	switch {
	case c.From == nil && c.To == nil:
		return fmt.Errorf("layers: distance to layer %q: the condition on layer %q has no bound; hint: give it from, to or both", target, c.Layer)
	case !(low <= high):
		return fmt.Errorf("layers: distance to layer %q: the condition on layer %q runs from %g to %g, where nothing lies", target, c.Layer, low, high)
	}
	return nil
}

// bounds are the bounds with infinity for a missing one.
func (c Condition) bounds() (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	if c.From != nil {
		low = *c.From
	}
	if c.To != nil {
		high = *c.To
	}
	return low, high
}

// targetBlock is what one target is read from.
type targetBlock struct {
	cells     Block     // classes, or features by touch
	table     [256]bool // for classes, the members
	condition Block     // no cells where none is set
	low, high float64
}

// targetBlocks are the targets around a window.
type targetBlocks []targetBlock

func readTargets(r Reader, targets []Target, w Window) (targetBlocks, error) {
	var all targetBlocks
	for _, t := range targets {
		b, err := t.read(r, w)
		if err != nil {
			return nil, err
		}
		all = append(all, b)
	}
	return all, nil
}

func (t Target) read(r Reader, w Window) (b targetBlock, err error) {
	layer, err := r.Layer(t.Layer)
	if err != nil {
		return b, err
	}
	codes, err := t.codes(r)
	if err != nil {
		return b, err
	}
	for _, code := range codes {
		b.table[code] = true
	}
	if layer.Kind == Features {
		b.cells, err = r.Burn(t.Layer, Burn{Kind: BurnTouch}, w)
	} else {
		b.cells, err = r.Read(t.Layer, w)
	}
	if err != nil || t.Where.Layer == "" {
		return b, err
	}
	b.low, b.high = t.Where.bounds()
	b.condition, err = r.Read(t.Where.Layer, w)
	return b, err
}
