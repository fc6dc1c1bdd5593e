package life

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/cmd/averholt/land"
)

// area tells whether a cell lies in some part of the district.
type area func(i int) bool

func whole(int) bool { return true }

func (a area) and(b area) area       { return func(i int) bool { return a(i) && b(i) } }
func (a area) or(b area) area        { return func(i int) bool { return a(i) || b(i) } }
func (a area) but(not area) area     { return func(i int) bool { return a(i) && !not(i) } }
func marked(cells []bool) area       { return func(i int) bool { return cells[i] } }
func (g *ground) at(i int) orb.Point { return g.d.Grid.Centre(i%land.Cols, i/land.Cols) }

// place is the ground of a named place: its outline, or a round about its middle
// where it has none.
func (g *ground) place(name string) area {
	if g.placed[name] == nil {
		p, ok := g.d.PlaceNamed(name)
		switch {
		case !ok:
			g.placed[name] = func(int) bool { return false }
		case len(p.Outline) == 0:
			g.placed[name] = g.round(p.At, 700)
		default:
			g.placed[name] = marked(g.within(orb.MultiPolygon{p.Outline}))
		}
	}
	return g.placed[name]
}

// within marks the cells whose centres lie in polygons.
func (g *ground) within(m orb.MultiPolygon) []bool {
	cells := make([]bool, land.Cols*land.Rows)
	w := g.d.Grid.Covering(m.Bound())
	for row := max(w.Row, 0); row < min(w.Row+w.Rows, land.Rows); row++ {
		for col := max(w.Col, 0); col < min(w.Col+w.Cols, land.Cols); col++ {
			i := g.d.Index(col, row)
			cells[i] = planar.MultiPolygonContains(m, g.at(i))
		}
	}
	return cells
}

// heathsAt is a named heath with all its parts: its outline and the heath near
// its middle.
func (g *ground) heathsAt(name string, radius float64) area {
	near := g.round(g.middle(name), radius)
	return g.place(name).or(near.and(func(i int) bool {
		return g.d.Cover[i] == land.DryHeath || g.d.Cover[i] == land.WetHeath
	}))
}

// round is everything within some metres of a point.
func (g *ground) round(at orb.Point, radius float64) area {
	return func(i int) bool { return planar.Distance(g.at(i), at) <= radius }
}

// middle is where a place or a town has its name.
func (g *ground) middle(name string) orb.Point {
	if p, ok := g.d.PlaceNamed(name); ok {
		return p.At
	}
	return g.d.Grid.Centre(land.Cols/2, land.Rows/2)
}

func (g *ground) westOf(x float64) area  { return func(i int) bool { return g.at(i)[0] < x } }
func (g *ground) southOf(y float64) area { return func(i int) bool { return g.at(i)[1] < y } }
func (g *ground) below(height float64) area {
	return func(i int) bool { return float64(g.d.Elevation[i]) < height }
}
func (g *ground) soils(some ...land.Soil) area {
	var in [256]bool
	for _, s := range some {
		in[s] = true
	}
	return func(i int) bool { return in[g.d.Soil[i]] }
}

// core is what lies deeper than some metres in an area.
func core(a area, deep float64) area {
	away := distance(land.Cols, land.Rows, func(i int) bool { return !a(i) })
	return func(i int) bool { return float64(away.at[i])*land.Cell > deep }
}

// centroid is the mean of an area's cells.
func (g *ground) centroid(a area) orb.Point {
	var sum orb.Point
	n := 0.0
	for i := range land.Cols * land.Rows {
		if a(i) {
			p := g.at(i)
			sum[0], sum[1], n = sum[0]+p[0], sum[1]+p[1], n+1
		}
	}
	return orb.Point{sum[0] / max(n, 1), sum[1] / max(n, 1)}
}

// along is everything within some metres of lines.
func (g *ground) along(lines []land.Line, within float64) area {
	on := make([]bool, land.Cols*land.Rows)
	for _, l := range lines {
		g.mark(on, l.Path)
	}
	away := distance(land.Cols, land.Rows, func(i int) bool { return on[i] })
	return func(i int) bool { return float64(away.at[i])*land.Cell <= within }
}

// eastOfRiver is everything that can be reached from the east edge without
// crossing the river, whose ends are carried on to the edges.
func (g *ground) eastOfRiver() area {
	wet := make([]bool, land.Cols*land.Rows)
	for _, l := range g.river() {
		g.mark(wet, g.toEdges(l.Path))
	}
	east, queue := make([]bool, len(wet)), []int{}
	reach := func(i int) {
		if !wet[i] && !east[i] {
			east[i], queue = true, append(queue, i)
		}
	}
	for row := range land.Rows {
		reach(g.d.Index(land.Cols-1, row))
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		for _, n := range neighbours(i) {
			reach(n)
		}
	}
	return marked(east)
}

// river is the lines of the River Withen; all lines of rivers where none has the
// name.
func (g *ground) river() []land.Line {
	var named []land.Line
	for _, l := range g.d.River {
		if l.Name == "River Withen" {
			named = append(named, l)
		}
	}
	if named == nil {
		return g.d.River
	}
	return named
}

// toEdges carries a line on from its ends, to the north and to the south.
func (g *ground) toEdges(line orb.LineString) orb.LineString {
	if len(line) < 2 {
		return line
	}
	head, tail := line[0], line[len(line)-1]
	north, south := g.d.Grid.North, g.d.Grid.North-land.Rows*land.Cell
	if head[1] < tail[1] {
		north, south = south, north
	}
	long := append(orb.LineString{{head[0], north}}, line...)
	return append(long, orb.Point{tail[0], south})
}

// neighbours are the cells that share a side with a cell.
func neighbours(i int) []int {
	var out []int
	col, row := i%land.Cols, i/land.Cols
	for _, n := range [4][2]int{{col - 1, row}, {col + 1, row}, {col, row - 1}, {col, row + 1}} {
		if inside(n[0], n[1]) {
			out = append(out, n[1]*land.Cols+n[0])
		}
	}
	return out
}

// middleOf is the middle of a run of lines from west to east.
func middleOf(lines []land.Line) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range lines {
		b := l.Path.Bound()
		low, high = min(low, b.Min[0]), max(high, b.Max[0])
	}
	return (low + high) / 2
}
