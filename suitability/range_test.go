package suitability

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"pgregory.net/rapid"

	"tussock/layers"
)

var testGrid = layers.Grid{West: 400000, North: 6200000, Cell: 25, Cols: 150, Rows: 130}

// square is a polygon whose corners are given in cells of testGrid.
func square(col, row, right, bottom float64) orb.Polygon {
	at := func(c, r float64) orb.Point {
		return orb.Point{testGrid.West + c*testGrid.Cell, testGrid.North - r*testGrid.Cell}
	}
	return orb.Polygon{{at(col, row), at(right, row), at(right, bottom), at(col, bottom), at(col, row)}}
}

func rangeOf(t testing.TB, edge float64, polygons ...RangePolygon) *RangeMap {
	t.Helper()
	m, err := NewRangeMap(polygons, testGrid, edge)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func drawn(status RangeStatus, polygons ...orb.Polygon) RangePolygon {
	return RangePolygon{Species: "test", Status: status, Geometry: polygons}
}

// star is a random simple polygon: radii around a centre, from 0.3 to 1. With
// five corners or more, all within 1.9/5 of a turn, it holds a disc of 0.11.
func star(r *rand.Rand, x, y, radius float64) orb.Ring {
	n := 5 + r.IntN(12)
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		a, d := (float64(i)+r.Float64()*.9)/float64(n)*2*math.Pi, radius*(.3+.7*r.Float64())
		ring = append(ring, orb.Point{x + d*math.Cos(a), y + d*math.Sin(a)})
	}
	return append(ring, ring[0])
}

func randomRange(r *rand.Rand) []RangePolygon {
	var list []RangePolygon
	for range 1 + r.IntN(6) {
		p := RangePolygon{Species: "test", Status: StatusDocumented + RangeStatus(r.IntN(5))}
		for range 1 + r.IntN(3) {
			x, y := testGrid.West+r.Float64()*4000, testGrid.North-r.Float64()*3500
			radius := 100 + r.Float64()*900
			polygon := orb.Polygon{star(r, x, y, radius)}
			if r.IntN(2) == 0 {
				hole := star(r, x, y, radius*.1)
				slices.Reverse(hole)
				polygon = append(polygon, hole)
			}
			p.Geometry = append(p.Geometry, polygon)
		}
		list = append(list, p)
	}
	return list
}

// slowly is the rule table read out loud, cell by cell, with another library's
// geometry.
func slowly(polygons []RangePolygon, edge float64, p orb.Point) (Standing, float64) {
	found, nearest := map[Standing]bool{}, math.Inf(1)
	for _, q := range polygons {
		standing := q.Status.Standing()
		for _, part := range q.Geometry {
			if planar.PolygonContains(part, p) {
				found[standing] = true
			}
			if standing != Documented && standing != Uncertain {
				continue
			}
			for _, ring := range part {
				for i := 1; i < len(ring); i++ {
					nearest = min(nearest, planar.DistanceFromSegment(ring[i-1], ring[i], p))
				}
			}
		}
	}
	for _, s := range []Standing{Documented, Uncertain, Introduced, Historic, Vagrant} {
		if found[s] {
			return s, math.NaN()
		}
	}
	if nearest < edge {
		return Edge, nearest
	}
	return Outside, math.NaN()
}

func TestRangeAgainstBruteForce(t *testing.T) {
	t.Parallel()
	const seed = 41
	r := rand.New(rand.NewPCG(seed, 0))
	edges := 0
	for n := range 12 {
		polygons, edge := randomRange(r), r.Float64()*1500
		block, distance := rangeOf(t, edge, polygons...).BlockAndDistance(testGrid.Window())
		for i, code := range block.Codes {
			col, row := i%testGrid.Cols, i/testGrid.Cols
			want, d := slowly(polygons, edge, testGrid.Centre(col, row))
			if Standing(code) != want {
				t.Fatalf("seed %d, range %d, cell %d, %d: %v, want %v", seed, n, col, row, Standing(code), want)
			}
			if want == Edge {
				edges++
				near(t, "distance", distance[i], d, 1e-7)
			} else if distance != nil && !math.IsNaN(distance[i]) {
				t.Fatalf("a cell of standing %v has a distance", want)
			}
		}
	}
	t.Logf("seed %d: %d distances", seed, edges)
}

func TestRangeIsTheSameInAnyWindow(t *testing.T) {
	const seed = 42
	r := rand.New(rand.NewPCG(seed, 0))
	for range 6 {
		m := rangeOf(t, 900, randomRange(r)...)
		all := layers.Window{Col: -70, Row: -70, Cols: 300, Rows: 280}
		block, distance := m.BlockAndDistance(all)
		for range 20 {
			w := layers.Window{Col: -70 + r.IntN(250), Row: -70 + r.IntN(230), Cols: 1 + r.IntN(50), Rows: 1 + r.IntN(50)}
			part, partDistance := m.BlockAndDistance(w)
			if alone := m.Block(w); !slices.Equal(alone.Codes, part.Codes) {
				t.Fatalf("seed %d: without distances other standings in window %v", seed, w)
			}
			for row := w.Row; row < w.Bottom(); row++ {
				for col := w.Col; col < w.Right(); col++ {
					i := (row-w.Row)*w.Cols + col - w.Col
					j := (row-all.Row)*all.Cols + col - all.Col
					if part.Codes[i] != block.Codes[j] {
						t.Fatalf("seed %d: cell %d, %d differs in window %v", seed, col, row, w)
					}
					if Standing(part.Codes[i]) == Edge && math.Float64bits(partDistance[i]) != math.Float64bits(distance[j]) {
						t.Fatalf("seed %d: distance of cell %d, %d differs in window %v", seed, col, row, w)
					}
				}
			}
		}
	}
}

// Neighbours whose shared boundary runs through cell centres neither share nor
// lose a cell, whichever way the boundary slants.
func TestNeighboursShareNoCell(t *testing.T) {
	a := orb.Point{testGrid.West + 10.5*25, testGrid.North - 5.5*25}
	b := orb.Point{testGrid.West + 90.5*25, testGrid.North - 45.5*25}
	c := orb.Point{a[0], b[1]}
	d := orb.Point{b[0], a[1]}
	of := func(rings ...orb.Ring) []uint8 {
		var codes []uint8
		for _, ring := range rings {
			block := rangeOf(t, 0, drawn(StatusDocumented, orb.Polygon{ring})).Block(testGrid.Window())
			if codes == nil {
				codes = make([]uint8, len(block.Codes))
			}
			for i, code := range block.Codes {
				if Standing(code) == Documented {
					codes[i]++
				}
			}
		}
		return codes
	}
	whole := of(orb.Ring{a, c, b, d, a})
	if halves := of(orb.Ring{a, c, b, a}, orb.Ring{a, b, d, a}); !slices.Equal(whole, halves) {
		t.Error("two triangles do not make the rectangle")
	}
	if open := of(orb.Ring{a, c, b, d}); !slices.Equal(whole, open) {
		t.Error("a ring left open differs from the closed one")
	}
	if n := slices.Index(whole, 1); n != 6*testGrid.Cols+10 {
		t.Errorf("the first cell is %d: the west and south edges belong to the polygon, the north edge does not", n)
	}
}

func TestHolesAndParts(t *testing.T) {
	ringed := square(10, 10, 40, 40)
	ringed = append(ringed, square(20, 20, 30, 30)[0])
	block := rangeOf(t, 100, drawn(StatusDocumented, ringed, square(60, 10, 70, 20))).Block(testGrid.Window())
	for _, c := range []struct {
		col, row int
		want     Standing
	}{{15, 15, Documented}, {25, 25, Outside}, {21, 21, Edge}, {65, 15, Documented}, {50, 15, Outside}, {42, 15, Edge}} {
		if got := Standing(block.Code(c.col, c.row)); got != c.want {
			t.Errorf("cell %d, %d is %v, want %v", c.col, c.row, got, c.want)
		}
	}
}

func TestOverlapsGoByPrecedence(t *testing.T) {
	order := []RangeStatus{StatusDocumented, StatusUncertain, StatusIntroduced, StatusHistoric, StatusVagrant}
	for i, first := range order {
		for _, second := range order[i:] {
			for _, polygons := range [][]RangePolygon{
				{drawn(first, square(0, 0, 9, 9)), drawn(second, square(0, 0, 9, 9))},
				{drawn(second, square(0, 0, 9, 9)), drawn(first, square(0, 0, 9, 9))},
			} {
				got := Standing(rangeOf(t, 0, polygons...).Block(testGrid.Window()).Code(4, 4))
				if got != first.Standing() {
					t.Errorf("%v over %v is %v", first, second, got)
				}
			}
		}
	}
}

func TestNoPolygonIsNotOutside(t *testing.T) {
	var none *RangeMap
	for _, m := range []*RangeMap{none, rangeOf(t, 2000)} {
		for _, code := range m.Block(layers.Window{Cols: 3, Rows: 2}).Codes {
			if Standing(code) != RangeNotDocumented {
				t.Errorf("standing %v", Standing(code))
			}
		}
	}
}

func TestRangeHash(t *testing.T) {
	a, b := drawn(StatusDocumented, square(0, 0, 9, 9)), drawn(StatusVagrant, square(3, 3, 12, 12))
	if rangeOf(t, 5, a, b).Hash() != rangeOf(t, 5, b, a).Hash() {
		t.Error("the order of polygons changes the hash")
	}
	seen := map[string]bool{rangeOf(t, 5, a, b).Hash(): true, (*RangeMap)(nil).Hash(): true}
	c := b
	c.Status = StatusHistoric
	for _, m := range []*RangeMap{rangeOf(t, 6, a, b), rangeOf(t, 5, a), rangeOf(t, 5, a, c), rangeOf(t, 5, a, drawn(StatusVagrant, square(3, 3, 12, 12.5)))} {
		if seen[m.Hash()] {
			t.Error("a change to the range keeps its hash")
		}
		seen[m.Hash()] = true
	}
}

func TestBadRanges(t *testing.T) {
	bad := square(0, 0, 5, 5)
	bad[0][1][0] = math.NaN()
	for what, p := range map[string]RangePolygon{
		"no status":  drawn(0, square(0, 0, 5, 5)),
		"NaN":        drawn(StatusVagrant, bad),
		"empty":      drawn(StatusVagrant),
		"two points": drawn(StatusVagrant, orb.Polygon{{{1, 1}, {2, 2}}}),
	} {
		if _, err := NewRangeMap([]RangePolygon{p}, testGrid, 0); err == nil {
			t.Errorf("%s: taken", what)
		}
	}
	if _, err := NewRangeMap(nil, testGrid, math.NaN()); err == nil {
		t.Error("an edge of NaN was taken")
	}
	// Coordinates far from the grid are odd, not fatal.
	far := rangeOf(t, 500, drawn(StatusDocumented, orb.Polygon{{{-1e38, -1e38}, {1e38, -1e38}, {0, 1e38}}}))
	if got := Standing(far.Block(testGrid.Window()).Code(3, 3)); got != Documented {
		t.Errorf("inside a huge polygon: %v", got)
	}
}

// A place outside every range is never shown suitable, and never planned for
// beyond the edge.
func TestOutsideIsNeverShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		polygons, edge := randomRange(r), r.Float64()*1000
		m, err := NewRangeMap(polygons, testGrid, edge)
		if err != nil {
			t.Fatal(err)
		}
		w := layers.Window{Col: r.IntN(120), Row: r.IntN(100), Cols: 20, Rows: 20}
		block, distance := m.BlockAndDistance(w)
		S := rapid.Float64Range(0, 1).Draw(t, "S")
		for i, code := range block.Codes {
			p := testGrid.Centre(w.Col+i%w.Cols, w.Row+i/w.Cols)
			inside := false
			for _, q := range polygons {
				inside = inside || planar.MultiPolygonContains(q.Geometry, p)
			}
			if inside {
				continue
			}
			if shown := S * PublicFactor(Standing(code), true); !math.IsNaN(shown) {
				t.Fatalf("%v outside every polygon is shown", shown)
			}
			d := math.Inf(1)
			if distance != nil && Standing(code) == Edge {
				d = distance[i]
			}
			if f := PlanningFactor(Standing(code), true, d, edge); !(f >= 0 && f < 1) || d >= edge && f != 0 {
				t.Fatalf("planning factor %v at %v m of %v", f, d, edge)
			}
		}
	})
}

func BenchmarkRangeBlock(b *testing.B) {
	m := rangeOf(b, 2000, randomRange(rand.New(rand.NewPCG(1, 0)))...)
	w := layers.Window{Cols: 512, Rows: 512}
	b.ReportAllocs()
	for b.Loop() {
		m.BlockAndDistance(w)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(w.Cells()), "ns/cell")
}

// A coast digitised every few metres: a circle of 3 km with 20,000 points.
func BenchmarkRangeFineBoundary(b *testing.B) {
	var ring orb.Ring
	for i := range 20001 {
		a := 2 * math.Pi * float64(i%20000) / 20000
		d := 3000 + 20*math.Sin(a*900)
		ring = append(ring, orb.Point{testGrid.West + 6400 + d*math.Cos(a), testGrid.North - 6400 + d*math.Sin(a)})
	}
	m := rangeOf(b, 2000, drawn(StatusDocumented, orb.Polygon{ring}))
	w := layers.Window{Cols: 512, Rows: 512}
	for b.Loop() {
		m.BlockAndDistance(w)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(w.Cells()), "ns/cell")
}
