package life

import (
	"math"

	"github.com/paulmach/orb"

	"tussock/cmd/averholt/land"
)

// mix is how much each class of cover counts.
type mix map[land.Cover]float64

// ground answers what the truth asks of a district.
type ground struct {
	d          *land.District
	management raster // standard normal: grazing, burning, cutting; no layer shows it
	traffic    []traffic
	placed     map[string]area // places that were asked for
}

// traffic is the roads of one rank: metres to the nearest and vehicles a day.
type traffic struct {
	away     raster
	vehicles float64
}

func newGround(d *land.District, seed uint64) *ground {
	g := &ground{d: d, placed: map[string]area{}, management: noise(seed, "management", land.Cols, land.Rows, 400/land.Cell)}
	for _, class := range []land.RoadClass{land.Trunk, land.Main, land.Lane} {
		on, total, n := make([]bool, land.Cols*land.Rows), 0, 0
		for _, r := range d.Roads {
			if r.Class == class {
				g.mark(on, r.Path)
				total, n = total+r.VehiclesPerDay, n+1
			}
		}
		if n > 0 {
			g.traffic = append(g.traffic, traffic{metres(distance(land.Cols, land.Rows, func(i int) bool { return on[i] })), float64(total) / float64(n)})
		}
	}
	return g
}

// mark marks the cells that a line passes through, to a fifth of a cell.
func (g *ground) mark(on []bool, line orb.LineString) {
	for i := range len(line) - 1 {
		a, b := line[i], line[i+1]
		steps := int(math.Hypot(b[0]-a[0], b[1]-a[1])/(land.Cell/5)) + 1
		for k := range steps + 1 {
			f := float64(k) / float64(steps)
			g.markPoint(on, orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])})
		}
	}
}

func (g *ground) markPoint(on []bool, p orb.Point) {
	if col, row := g.d.CellOf(p); inside(col, row) {
		on[g.d.Index(col, row)] = true
	}
}

func inside(col, row int) bool { return col >= 0 && row >= 0 && col < land.Cols && row < land.Rows }

func metres(r raster) raster {
	for i := range r.at {
		r.at[i] *= land.Cell
	}
	return r
}

// each makes a raster of a number per cell.
func (g *ground) each(value func(i int) float64) raster {
	out := newRaster(land.Cols, land.Rows)
	for i := range out.at {
		out.at[i] = float32(value(i))
	}
	return out
}

// share is the weighted share of classes around each cell under a Gaussian of
// sigma metres.
func (g *ground) share(sigma float64, of mix) raster {
	var table [256]float32
	for class, weight := range of {
		table[class] = float32(weight)
	}
	return g.each(func(i int) float64 { return float64(table[g.d.Cover[i]]) }).blurred(sigma / land.Cell)
}

// away is how many metres it is to the nearest cell of some classes, or to one
// that is marked.
func (g *ground) away(marked []bool, classes ...land.Cover) raster {
	var table [256]bool
	for _, c := range classes {
		table[c] = true
	}
	return metres(distance(land.Cols, land.Rows, func(i int) bool {
		return table[g.d.Cover[i]] || marked != nil && marked[i]
	}))
}

// pools is the chance that at least one pond serves an animal at each cell:
// 1 − Π(1 − q·e^(−(d/fade)^1.5)) over ponds of quality q at d metres.
func (g *ground) pools(fade float64, quality func(land.Pond) float64) raster {
	none := g.each(func(int) float64 { return 1 })
	reach := int(3 * fade / land.Cell)
	for _, p := range g.d.Ponds {
		q := quality(p)
		if q < 0.01 {
			continue
		}
		col, row := g.d.CellOf(p.At)
		own := math.Sqrt(p.AreaM2 / math.Pi) // the water itself is no distance
		for r := max(row-reach, 0); r <= min(row+reach, land.Rows-1); r++ {
			for c := max(col-reach, 0); c <= min(col+reach, land.Cols-1); c++ {
				away := max(math.Hypot(float64(c-col), float64(r-row))*land.Cell-own, 0)
				none.at[r*land.Cols+c] *= float32(1 - q*faded(away, fade))
			}
		}
	}
	return g.each(func(i int) float64 { return 1 - float64(none.at[i]) })
}

// density is how many ponds there are to the square kilometre, under a Gaussian
// of sigma metres.
func (g *ground) density(sigma float64) raster {
	count := newRaster(land.Cols, land.Rows)
	for _, p := range g.d.Ponds {
		if col, row := g.d.CellOf(p.At); inside(col, row) {
			count.at[g.d.Index(col, row)] += 1e6 / (land.Cell * land.Cell)
		}
	}
	return count.blurred(sigma / land.Cell)
}

// toll is the share of animals that roads near a cell kill: 1 − e^(−c·vehicles),
// fading over some metres.
func (g *ground) toll(i int, c, fade float64) float64 {
	worst := 0.0
	for _, t := range g.traffic {
		worst = max(worst, (1-math.Exp(-c*t.vehicles))*faded(float64(t.away.at[i]), fade))
	}
	return worst
}

// busy is how many metres it is to the nearest trunk or main road.
func (g *ground) busy(i int) float64 {
	nearest := 1e9
	for _, t := range g.traffic {
		if t.vehicles >= 1000 {
			nearest = min(nearest, float64(t.away.at[i]))
		}
	}
	return nearest
}

// The shapes that the truth is built of; none is a profile's straight line.

// faded falls from 1 with distance: e^(−(d/scale)^1.5), and is 0 from four
// scales on, where that is 3 in 10,000.
func faded(d, scale float64) float64 {
	x := d / scale
	if x >= 4 {
		return 0
	}
	return math.Exp(-x * math.Sqrt(x))
}

// filling rises from 0 towards 1 and is one half at half: xⁿ/(xⁿ + halfⁿ).
func filling(x, half, n float64) float64 {
	if x <= 0 {
		return 0
	}
	return 1 / (1 + math.Pow(half/x, n))
}

// rising goes from 0 to 1 around a middle: 1/(1 + e^(−(x − middle)/width)).
func rising(x, middle, width float64) float64 { return 1 / (1 + math.Exp(-(x-middle)/width)) }

// bell is 1 at the middle and falls on both sides: e^(−((x − middle)/width)²/2).
func bell(x, middle, width float64) float64 {
	z := (x - middle) / width
	return math.Exp(-z * z / 2)
}
