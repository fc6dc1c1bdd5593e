package land

import "github.com/paulmach/orb"

// build adds a way to the network and returns its new stretches: where it runs
// on a road that is there already it adds nothing. Each stretch is smoothed with
// its ends held, so that roads meet where they met on the lattice.
func (n *network) build(nodes []int, smooth int) [][]orb.Point {
	var stretches [][]orb.Point
	for i := 0; i+1 < len(nodes); {
		if n.built[nodes[i]] && n.built[nodes[i+1]] {
			i++
			continue
		}
		j := i + 1
		for j+1 < len(nodes) && !n.built[nodes[j]] {
			j++
		}
		stretches = append(stretches, n.stretch(nodes[i:j+1], smooth))
		i = j
	}
	return stretches
}

// stretch lays a new road over nodes and remembers where it put each of them.
func (n *network) stretch(nodes []int, smooth int) []orb.Point {
	path := make([]orb.Point, len(nodes))
	for i, node := range nodes {
		path[i] = n.where[node]
	}
	path = smoothed(path, smooth)
	for i, node := range nodes {
		n.built[node], n.where[node] = true, path[i]
	}
	return simplified(curved(path, 4), 1.5)
}

// curved draws Catmull-Rom splines through points, in so many pieces each.
func curved(path []orb.Point, pieces int) []orb.Point {
	var out []orb.Point
	last := len(path) - 1
	for i := range last {
		for k := range pieces {
			w := spline(float64(k) / float64(pieces))
			var p orb.Point
			for a := range 4 {
				q := path[clampInt(i-1+a, 0, last)]
				p[0] += w[a] * q[0]
				p[1] += w[a] * q[1]
			}
			out = append(out, p)
		}
	}
	return append(out, path[last])
}
