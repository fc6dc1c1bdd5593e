package suitability

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tussock/layers"
)

// NearbySpecies is the greatest suitability of other species around a cell:
// prey, hosts, competitors.
//
//	max S(other) · range factor,  over the cells whose centres lie within Radius
//
// The range factor is the public one of the other species, so that what is not
// documented to live near by feeds nobody: a cell counts 0 where that factor
// shows nothing (outside the range, at its edge, historic range that is not
// shown, vagrants), S where the range is documented, uncertain, introduced or
// documented by nobody, and is unknown where S is not assessed. Unknown cells
// are left out of a disc, and a disc with fewer than 60 % known cells is
// unknown, as for all discs. Of several others the greatest counts; where one of
// them is unknown, so is the measure, for it could be the greatest.
//
// The others' own measures look further. None may lead back to the species that
// holds the measure: a project file is checked for that.
//
// Unit: none, 0 to 1. Reach: Radius and the others' own.
type NearbySpecies struct {
	Others []Subject
	Radius float64 // metres
}

var _ layers.Measure = NearbySpecies{}

// Key implements [layers.Measure]. It changes with everything that could change
// a cell of the others' maps, their range included.
func (n NearbySpecies) Key() string {
	keys := make([]string, len(n.Others))
	for i, s := range n.Others {
		keys[i] = s.key()
	}
	slices.Sort(keys)
	return fmt.Sprintf("species radius=%s [%s]", exact(n.Radius), strings.Join(keys, "; "))
}

// key tells one species' map from another's.
func (s Subject) key() string {
	return fmt.Sprintf("%q %s %s", s.Profile.ID, s.Profile.Hash(), s.Range.Hash())
}

// Reach implements [layers.Measure].
func (n NearbySpecies) Reach() float64 {
	further := 0.0
	for _, s := range n.Others {
		further = max(further, s.Profile.measureReach())
	}
	return n.Radius + further
}

// LayerNames implements [layers.Measure]: those that any of the others reads.
func (n NearbySpecies) LayerNames() []string {
	var names []string
	for _, s := range n.Others {
		for m := range s.Profile.allMeasures {
			if m != nil {
				names = append(names, m.LayerNames()...)
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// Unit implements [layers.Measure].
func (n NearbySpecies) Unit() string { return "" }

// Names are the others' ids.
func (n NearbySpecies) Names() []string {
	names := make([]string, len(n.Others))
	for i, s := range n.Others {
		names[i] = s.Profile.ID
	}
	return names
}

// Check implements [layers.Measure]. The others are species of their own, whose
// measures are checked where they are stated.
func (n NearbySpecies) Check(layers.Reader) error {
	if len(n.Others) == 0 {
		return errors.New("suitability: species near by: no species is named")
	}
	if !(n.Radius > 0) || math.IsInf(n.Radius, 0) {
		return fmt.Errorf("suitability: species near by: the radius is %g m; it must be more than 0", n.Radius)
	}
	names := n.Names()
	slices.Sort(names)
	if len(slices.Compact(names)) < len(n.Others) {
		return fmt.Errorf("suitability: species near by: one of %s is named twice", strings.Join(n.Names(), ", "))
	}
	return nil
}

// Eval implements [layers.Measure].
func (n NearbySpecies) Eval(r layers.Reader, w layers.Window) (layers.Block, error) {
	if err := n.Check(r); err != nil {
		return layers.Block{}, err
	}
	cell := r.Grid().Cell
	grown := w.Grow(layers.ReachOfDisc(n.Radius, cell))
	var best layers.Block
	for i, s := range n.Others {
		offer, err := offerOf(r, s, grown)
		if err != nil {
			return layers.Block{}, fmt.Errorf("species %s near by: %w", s.Profile.ID, err)
		}
		near := layers.MaxWithin(offer, w, n.Radius, cell)
		if i == 0 {
			best = near
			continue
		}
		for k, v := range near.Values {
			best.Values[k] = max(best.Values[k], v) // unknown where either is
		}
	}
	return best, nil
}
