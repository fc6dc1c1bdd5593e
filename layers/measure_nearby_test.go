package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
)

// testScore is the number in an attribute; without one nothing is known.
type testScore string

func (s testScore) Key() string      { return "number " + string(s) }
func (s testScore) Fields() []string { return []string{string(s)} }
func (s testScore) Score(attributes map[string]string) float64 {
	text, ok := attributes[string(s)]
	if !ok {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// testFade falls straight from 1 to 0.2 at its limit.
type testFade float64

func (f testFade) Key() string              { return fmt.Sprintf("straight to %g", float64(f)) }
func (f testFade) Factor(m float64) float64 { return 1 - 0.8*m/float64(f) }
func (f testFade) Limit() float64           { return float64(f) }

// addPonds adds points, lines and polygons, some with holes, in one part and in
// several; some have no score.
func (m *memoryReader) addPonds(t testing.TB, rng *rand.Rand) []Feature {
	var ponds []Feature
	place := func() orb.Point {
		return orb.Point{1000 - 60 + 520*rng.Float64(), 9000 + 60 - 420*rng.Float64()}
	}
	for i := range 16 {
		var g orb.Geometry
		switch at := place(); i % 6 {
		case 0:
			g = at
		case 1:
			g = orb.MultiPoint{at, place()}
		case 2:
			g = orb.LineString{at, {at[0] + 37, at[1] - 12}, {at[0] + 45, at[1] + 30}}
		case 3:
			g = orb.MultiLineString{{at, {at[0] + 5, at[1] + 80}}, {place(), place()}}
		case 4:
			g = star(rng, at, 5+60*rng.Float64())
		case 5:
			g = orb.MultiPolygon{star(rng, at, 20), star(rng, orb.Point{at[0] + 90, at[1]}, 30)}
		}
		pond := Feature{Geometry: g, Attributes: map[string]string{}}
		if i != 7 {
			pond.Attributes["score"] = fmt.Sprintf("%.2f", rng.Float64())
		}
		ponds = append(ponds, pond)
	}
	m.addShapes(t, "ponds", "", ponds...)
	return ponds
}

// metresTo is the distance to a geometry straight from its parts: the least to
// any segment, or 0 inside a polygon by the number of times that a line to the
// east crosses its rings.
func metresTo(g orb.Geometry, at orb.Point) float64 {
	least, crossed := math.Inf(1), 0
	run := func(points []orb.Point, ring bool) {
		for i, q := range points {
			p := points[max(i-1, 0)]
			least = min(least, metresToSegment(p, q, at))
			if ring && (p[1] > at[1]) != (q[1] > at[1]) && p[0]+(at[1]-p[1])/(q[1]-p[1])*(q[0]-p[0]) > at[0] {
				crossed++
			}
		}
	}
	var walk func(orb.Geometry)
	walk = func(g orb.Geometry) {
		switch g := g.(type) {
		case orb.Point:
			run([]orb.Point{g}, false)
		case orb.MultiPoint:
			for _, p := range g {
				walk(p)
			}
		case orb.LineString:
			run(g, false)
		case orb.MultiLineString:
			for _, l := range g {
				walk(l)
			}
		case orb.Polygon:
			for _, r := range g {
				run(r, true)
			}
		case orb.MultiPolygon:
			for _, p := range g {
				walk(p)
			}
		}
	}
	walk(g)
	if crossed%2 == 1 {
		return 0
	}
	return least
}

// metresToSegment goes by the heights of the triangle.
func metresToSegment(p, q, at orb.Point) float64 {
	a, b, c := math.Hypot(at[0]-p[0], at[1]-p[1]), math.Hypot(at[0]-q[0], at[1]-q[1]), math.Hypot(q[0]-p[0], q[1]-p[1])
	if c == 0 || a*a >= b*b+c*c || b*b >= a*a+c*c {
		return min(a, b)
	}
	return math.Abs((q[0]-p[0])*(at[1]-p[1])-(q[1]-p[1])*(at[0]-p[0])) / c
}

func TestNearbyBestBruteForce(t *testing.T) {
	t.Parallel()
	for _, limit := range []float64{35, 90, 200} {
		for _, barrier := range []Barrier{{}, {"walls", 1000}} {
			t.Run(fmt.Sprint(limit, barrier), func(t *testing.T) {
				rng := measureRand(t)
				m := randomReader(rng, 10)
				ponds := m.addPonds(t, rng)
				w := Window{Col: -9 + rng.IntN(4), Row: -8 + rng.IntN(4), Cols: 37, Rows: 29}
				got := evalOf(t, NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(limit), Barrier: barrier}, m, w)
				brute := bruteNearby{m: m, ponds: ponds, fade: testFade(limit), barrier: barrier}
				brute.wall = wallsFrom(m, "5000", "20000")
				brute.touch(t)
				for row := w.Row; row < w.Bottom(); row++ {
					for col := w.Col; col < w.Right(); col++ {
						if want := brute.at(col, row); !sameNumber(got.Value(col, row), float32(want), 1e-6) {
							t.Fatalf("column %d row %d: %g, want %g", col, row, got.Value(col, row), want)
						}
					}
				}
			})
		}
	}
}

type bruteNearby struct {
	m       *memoryReader
	ponds   []Feature
	fade    testFade
	barrier Barrier
	wall    func(col, row int) bool
	touches []Block
}

// touch burns each pond by itself.
func (b *bruteNearby) touch(t *testing.T) {
	for _, pond := range b.ponds {
		alone := newMemoryReader(b.m.grid.Cell)
		alone.addShapes(t, "pond", "", pond)
		block, _ := alone.Burn("pond", Burn{Kind: BurnTouch}, Window{-60, -60, 180, 160})
		b.touches = append(b.touches, block)
	}
}

func (b *bruteNearby) at(col, row int) float64 {
	inside := func(c, r int) bool {
		return math.Hypot(float64(c-col), float64(r-row))*b.m.grid.Cell <= float64(b.fade)
	}
	reached := map[[2]int]bool{}
	cut := false
	if b.barrier.Layer != "" {
		around(col, row, float64(b.fade), b.m.grid.Cell, func(c, r int) { cut = cut || b.wall(c, r) })
		if cut {
			reached = bruteFlood(col, row, b.wall, inside)
		}
	}
	best := 0.0
	for i, pond := range b.ponds {
		score := testScore("score").Score(pond.Attributes)
		metres := metresTo(pond.Geometry, b.m.grid.Centre(col, row))
		if metres > float64(b.fade) || !(score > 0) {
			continue
		}
		seen := !cut
		for at := range reached {
			seen = seen || b.touches[i].Window.Has(at[0], at[1]) && b.touches[i].Value(at[0], at[1]) > 0
		}
		if seen {
			best = max(best, score*b.fade.Factor(metres))
		}
	}
	return best
}

// By hand: cells of 10 m, a square pond over the cells 4 to 6, and a barrier.
func TestNearbyBestByHand(t *testing.T) {
	m := newMemoryReader(10)
	pond := Feature{Geometry: orb.Polygon{{{1040, 8970}, {1070, 8970}, {1070, 9000}, {1040, 9000}, {1040, 8970}}}, Attributes: map[string]string{"score": "0.5"}}
	road := Feature{Geometry: orb.LineString{{1085, 9500}, {1085, 8000}}, Attributes: map[string]string{"aadt": "12000"}}
	m.addShapes(t, "ponds", "", pond)
	m.addShapes(t, "roads", "aadt", road)
	w := Window{Col: 0, Row: 1, Cols: 12, Rows: 1}
	fade := testFade(40)
	free := evalOf(t, NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: fade}, m, w)
	cut := evalOf(t, NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: fade, Barrier: Barrier{"roads", 12000}}, m, w)
	// Distances of the centres 5, 15, … m from the pond's edges at 40 and 70 m.
	for col, metres := range []float64{35, 25, 15, 5, 0, 0, 0, 5, 15, 25, 35, 45} {
		want := float32(0.5 * fade.Factor(metres))
		if metres > 40 {
			want = 0
		}
		if got := free.Value(col, 1); !sameNumber(got, want, 1e-7) {
			t.Errorf("column %d: %g, want %g", col, got, want)
		}
		if col > 8 { // the road runs through column 8, which itself sees both sides
			want = 0
		}
		if got := cut.Value(col, 1); !sameNumber(got, want, 1e-7) {
			t.Errorf("column %d behind the road: %g, want %g", col, got, want)
		}
	}
}

// The order of features means nothing, and another feature never lowers a cell.
func TestNearbyBestLaws(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	ponds := m.addPonds(t, rng)
	w := m.grid.Window()
	n := NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(150), Barrier: Barrier{"walls", 1000}}
	want := evalOf(t, n, m, w)
	rng.Shuffle(len(ponds), func(i, j int) { ponds[i], ponds[j] = ponds[j], ponds[i] })
	m.addShapes(t, "ponds", "", ponds...)
	if !sameBits(evalOf(t, n, m, w), want) {
		t.Error("the order of features matters")
	}
	m.addShapes(t, "ponds", "", ponds[:len(ponds)/2]...)
	for i, v := range evalOf(t, n, m, w).Values {
		if v > want.Values[i] {
			t.Fatalf("cell %d: %g from half the features, %g from all", i, v, want.Values[i])
		}
	}
}
