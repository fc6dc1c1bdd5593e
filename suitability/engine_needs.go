package suitability

import "tussock/layers"

// needs finds out, before anything is read, how far around a block each layer,
// measure and species is needed, and by how many.
type needs struct {
	ground *ground
	reach  map[string]float64 // by layer, metres
}

// profile notes a profile that will be evaluated for the block and some cells
// around it. The first time, it counts as a user of its measures; after that
// only the cells around can grow.
func (n *needs) profile(p *Profile, around int, first bool) {
	for _, m := range p.Measures() {
		k, fresh := noted(n.ground.measured, m.Key())
		if first {
			k.users++
		}
		if fresh || around > k.around {
			k.around = max(k.around, around)
			n.measure(m, around, fresh)
		}
	}
}

func (n *needs) measure(m layers.Measure, around int, fresh bool) {
	cell := n.ground.job.Grid.Cell
	near, ok := m.(NearbySpecies)
	if !ok {
		for _, name := range m.LayerNames() {
			n.reach[name] = max(n.reach[name], float64(around)*cell+m.Reach())
		}
		return
	}
	around += layers.ReachOfDisc(near.Radius, cell)
	for _, s := range near.Others {
		k, first := noted(n.ground.offers, s.key())
		if fresh {
			k.users++
		}
		if first || around > k.around {
			k.around = max(k.around, around)
			n.profile(s.Profile, around, first)
		}
	}
}

// noted is the entry of that key, and whether it is a new one.
func noted(entries map[string]*kept, key string) (k *kept, fresh bool) {
	if k = entries[key]; k == nil {
		k, fresh = &kept{}, true
		entries[key] = k
	}
	return k, fresh
}
