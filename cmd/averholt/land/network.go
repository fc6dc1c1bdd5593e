package land

import (
	"math"

	"github.com/paulmach/orb"
)

// The lattice that roads are sought on.
const (
	nodeCell = 50.0
	nodeCols = Cols / 2
	nodeRows = Rows / 2
)

// network finds the ways of least cost over the ground and remembers those that
// were built.
type network struct {
	height []float64 // m
	cost   []float64 // of a metre on level ground, 1 on good going
	steep  float64   // the slope that doubles the cost
	built  []bool
	where  []orb.Point // a built node's own place
}

// move is a step to one of 16 neighbours: sides, corners and knight's moves.
type move struct {
	dc, dr int
	length float64
}

var moves = func() (all []move) {
	for _, s := range [16][2]int{{0, -1}, {1, 0}, {0, 1}, {-1, 0}, {1, -1}, {1, 1}, {-1, 1}, {-1, -1},
		{1, -2}, {2, -1}, {2, 1}, {1, 2}, {-1, 2}, {-2, 1}, {-2, -1}, {-1, -2}} {
		all = append(all, move{s[0], s[1], nodeCell * math.Hypot(float64(s[0]), float64(s[1]))})
	}
	return all
}()

func nodeAt(p orb.Point) int {
	return clampInt(floor(p[1]/nodeCell), 0, nodeRows-1)*nodeCols + clampInt(floor(p[0]/nodeCell), 0, nodeCols-1)
}

func nodePlace(n int) orb.Point {
	return orb.Point{(float64(n%nodeCols) + 0.5) * nodeCell, (float64(n/nodeCols) + 0.5) * nodeCell}
}

// newNetwork takes the ground's height and what a metre costs where.
func newNetwork(ground *lattice, steep float64, cost func(p orb.Point) float64) *network {
	const n = nodeCols * nodeRows
	net := &network{height: make([]float64, n), cost: make([]float64, n), steep: steep, built: make([]bool, n), where: make([]orb.Point, n)}
	for i := range n {
		p := nodePlace(i)
		net.where[i] = p
		net.height[i] = ground.sample(p[0], p[1])
		net.cost[i] = cost(p)
	}
	return net
}

// reuse is what a metre costs on a road that is there already.
const reuse = 0.4

func (n *network) step(a, b int, length float64) float64 {
	if n.built[a] && n.built[b] {
		return length * reuse
	}
	slope := math.Abs(n.height[a]-n.height[b]) / length
	return length * (n.cost[a] + n.cost[b]) / 2 * (1 + (slope/n.steep)*(slope/n.steep))
}

// route is the way of least cost between two points (A*), as nodes.
func (n *network) route(from, to orb.Point) []int {
	goal := nodeAt(to)
	s := newSearch()
	s.reach(nodeAt(from), -1, 0, n.ahead(nodeAt(from), goal))
	for !s.open.empty() {
		i := s.next()
		if i == goal {
			return s.back(i)
		}
		if i >= 0 {
			n.spread(s, i, goal)
		}
	}
	return nil
}

// ahead is the least that the rest of a way can cost.
func (n *network) ahead(i, goal int) float64 {
	return reuse * nodeCell * math.Hypot(float64(i%nodeCols-goal%nodeCols), float64(i/nodeCols-goal/nodeCols))
}

func (n *network) spread(s *search, i, goal int) {
	c, r := i%nodeCols, i/nodeCols
	for _, mv := range moves {
		x, y := c+mv.dc, r+mv.dr
		if x < 0 || y < 0 || x >= nodeCols || y >= nodeRows {
			continue
		}
		j := y*nodeCols + x
		ahead := 0.0
		if goal >= 0 {
			ahead = n.ahead(j, goal)
		}
		s.reach(j, i, s.paid[i]+n.step(i, j, mv.length), ahead)
	}
}

// fromBuilt reckons the way of least cost from every node to the network.
func (n *network) fromBuilt() *search {
	s := newSearch()
	for i, built := range n.built {
		if built {
			s.reach(i, -1, 0, 0)
		}
	}
	for !s.open.empty() {
		if i := s.next(); i >= 0 {
			n.spread(s, i, -1)
		}
	}
	return s
}

// search is a search for ways in progress.
type search struct {
	open queue
	paid []float64
	from []int32
	done []bool
}

func newSearch() *search {
	const n = nodeCols * nodeRows
	s := &search{paid: make([]float64, n), from: make([]int32, n), done: make([]bool, n)}
	for i := range s.paid {
		s.paid[i] = math.Inf(1)
	}
	return s
}

func (s *search) reach(i, from int, paid, ahead float64) {
	if !s.done[i] && paid < s.paid[i] {
		s.paid[i], s.from[i] = paid, int32(from)
		s.open.push(paid+ahead, i)
	}
}

// next settles the next node; -1 where it was settled before.
func (s *search) next() int {
	_, i := s.open.pop()
	if s.done[i] {
		return -1
	}
	s.done[i] = true
	return i
}

// back is the way that led to a node, from its start.
func (s *search) back(i int) []int {
	var nodes []int
	for at := int32(i); at >= 0; at = s.from[at] {
		nodes = append(nodes, int(at))
	}
	for a, b := 0, len(nodes)-1; a < b; a, b = a+1, b-1 {
		nodes[a], nodes[b] = nodes[b], nodes[a]
	}
	return nodes
}
