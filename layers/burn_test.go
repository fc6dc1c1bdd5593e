package layers

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
	"github.com/paulmach/orb/planar"
)

// unitGrid has cells of 1 m and rows that count down from y = 0.
var unitGrid = Grid{Cell: 1, Cols: 40, Rows: 40}

func shapesOf(t testing.TB, geometries ...orb.Geometry) *shapes {
	t.Helper()
	var list []shape
	for i, g := range geometries {
		s, err := newShape(int64(i), orb.Clone(g), unitGrid)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, s)
	}
	return newShapes(list)
}

func allShapes(int32) bool { return true }

func burned(s *shapes, how Burn, w Window) Block {
	out := Block{Window: w, Values: make([]float32, w.Cells())}
	newBurner(w, unitGrid.Cell).burn(s, how, allShapes, out)
	return out
}

// star is a simple polygon around a point, sometimes with a hole.
func star(r *rand.Rand, at orb.Point, size float64) orb.Polygon {
	n := 3 + r.IntN(12)
	ring, hole := make(orb.Ring, 0, n+1), make(orb.Ring, 0, n+1)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
		far := size * (0.3 + 0.7*r.Float64())
		ring = append(ring, orb.Point{at[0] + far*cos, at[1] + far*sin})
		hole = append(hole, orb.Point{at[0] + far*cos/3, at[1] + far*sin/3})
	}
	ring, hole = append(ring, ring[0]), append(hole, hole[0])
	if r.IntN(2) == 0 {
		ring.Reverse()
	}
	if n < 6 || r.IntN(2) == 0 {
		return orb.Polygon{ring}
	}
	return orb.Polygon{ring, hole}
}

func randomLine(r *rand.Rand) orb.LineString {
	var l orb.LineString
	for range 2 + r.IntN(5) {
		l = append(l, orb.Point{50*r.Float64() - 5, 5 - 50*r.Float64()})
	}
	return l
}

func randomShapes(r *rand.Rand) []orb.Geometry {
	list := []orb.Geometry{}
	for range 12 {
		at := orb.Point{46*r.Float64() - 3, 3 - 46*r.Float64()}
		list = append(list, star(r, at, 1+9*r.Float64()), randomLine(r), at, orb.MultiPoint{at, {at[1] + 30, -at[0]}})
	}
	return list
}

var everyBurn = []Burn{{Kind: BurnCentre}, {Kind: BurnTouch}, {Kind: BurnShare}, {Kind: BurnShare, Width: 0.7}, {Kind: BurnCount}, {Kind: BurnLength}}

// The same bytes come out for a cell whichever window it is burned in.
func TestBurnWindows(t *testing.T) {
	t.Parallel()
	r := alignSeed(t)
	all := Window{Col: -4, Row: -4, Cols: 48, Rows: 48}
	for range 5 {
		s := shapesOf(t, randomShapes(r)...)
		codes := func(i int32) uint8 { return uint8(i % 5) }
		classes := NewCodes(all)
		newBurner(all, 1).classes(s, codes, classes)
		for _, how := range everyBurn {
			whole := burned(s, how, all)
			for range 25 {
				w := randomWindow(r, all)
				part, classPart := burned(s, how, w), NewCodes(w)
				newBurner(w, 1).classes(s, codes, classPart)
				for k := range w.Cells() {
					col, row := w.Col+k%w.Cols, w.Row+k/w.Cols
					if !sameCell(part, whole, col, row) {
						t.Fatalf("%+v, window %+v: cell %d, %d is %v, in the whole %v", how, w, col, row, part.Value(col, row), whole.Value(col, row))
					}
					if !sameCell(classPart, classes, col, row) {
						t.Fatalf("classes, window %+v: cell %d, %d differs", w, col, row)
					}
				}
			}
		}
	}
}

func cellBound(col, row int) orb.Bound {
	return orb.Bound{Min: orb.Point{float64(col), -float64(row + 1)}, Max: orb.Point{float64(col + 1), -float64(row)}}
}

// Against orb's own clipping of polygons to a rectangle (Sutherland and
// Hodgman 1974), cell by cell.
func TestBurnShareAgainstClipping(t *testing.T) {
	r := alignSeed(t)
	for range 60 {
		p := star(r, orb.Point{40 * r.Float64(), -40 * r.Float64()}, 0.2+12*r.Float64())
		got := burned(shapesOf(t, p), Burn{Kind: BurnShare}, unitGrid.Window())
		for k := range got.Values {
			col, row := k%40, k/40
			want := 0.0
			if part := clip.Polygon(cellBound(col, row), p.Clone()); part != nil {
				want = math.Abs(planar.Area(part))
			}
			if math.Abs(float64(got.Values[k])-want) > 1e-7 {
				t.Fatalf("cell %d, %d: share %v, clipped %v of %v", col, row, got.Values[k], want, p)
			}
		}
	}
}

// Ground under several features counts once: fine sampling of every cell.
func TestBurnShareUnion(t *testing.T) {
	t.Parallel()
	r := alignSeed(t)
	const side = 60
	for range 6 {
		var list []orb.Geometry
		for range 5 {
			list = append(list, star(r, orb.Point{8 * r.Float64(), -8 * r.Float64()}, 0.5+4*r.Float64()))
		}
		got := burned(shapesOf(t, list...), Burn{Kind: BurnShare}, Window{Cols: 8, Rows: 8})
		for k := range got.Values {
			hits := 0
			for n := range side * side {
				at := orb.Point{float64(k%8) + (float64(n%side)+0.5)/side, -float64(k/8) - (float64(n/side)+0.5)/side}
				for _, g := range list {
					if planar.PolygonContains(g.(orb.Polygon), at) {
						hits++
						break
					}
				}
			}
			// A boundary of length L misplaces at most about L/side of the samples.
			if want := float64(hits) / (side * side); math.Abs(float64(got.Values[k])-want) > 0.06 {
				t.Fatalf("cell %d: share %v, sampled %v", k, got.Values[k], want)
			}
		}
	}
}

// Two half-overlapping squares, by arithmetic.
func TestBurnShareOverlapByHand(t *testing.T) {
	square := func(x0, y0, x1, y1 float64) orb.Polygon {
		return orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}}.ToPolygon()
	}
	got := burned(shapesOf(t, square(0.25, -0.75, 0.75, -0.25), square(0.5, -0.5, 1.5, 0), square(0.5, -0.5, 0.75, -0.25)), Burn{Kind: BurnShare}, Window{Cols: 2, Rows: 1})
	// First cell: 0.25 + 0.25 − 0.0625, the third square lying in both.
	if got.Values[0] != 0.4375 || got.Values[1] != 0.25 {
		t.Fatalf("shares %v, want 0.4375 and 0.25", got.Values)
	}
}

// A straight line of width w covers its length times w; a circle its area; a
// bend adds the sector between its segments.
func TestBurnShareWidth(t *testing.T) {
	r := alignSeed(t)
	sum := func(g orb.Geometry, width float64) float64 {
		total := 0.0
		for _, v := range burned(shapesOf(t, g), Burn{Kind: BurnShare, Width: width}, unitGrid.Window()).Values {
			total += float64(v)
		}
		return total
	}
	for range 40 {
		a := orb.Point{10 + 20*r.Float64(), -10 - 20*r.Float64()}
		b := orb.Point{10 + 20*r.Float64(), -10 - 20*r.Float64()}
		width := 0.05 + 3*r.Float64()
		if got, want := sum(orb.LineString{a, b}, width), planar.Distance(a, b)*width; math.Abs(got-want) > 1e-5 {
			t.Fatalf("line %v %v of width %v covers %v, want %v", a, b, width, got, want)
		}
		if got, want := sum(a, width), math.Pi*width*width/4; math.Abs(got-want) > 1e-5 {
			t.Fatalf("point of width %v covers %v, want %v", width, got, want)
		}
		// Two legs of 8 m that turn by an angle: the strips overlap on the inner
		// side by a kite of (w/2)²·tan(turn/2), the wedge adds (w/2)²·turn/2.
		turn := (r.Float64()*2 - 1) * 2
		h := width / 2
		sin, cos := math.Sincos(turn)
		bend := orb.LineString{{12, -20}, {20, -20}, {20 + 8*cos, -20 + 8*sin}}
		want := 16*width - h*h*math.Tan(math.Abs(turn)/2) + h*h*math.Abs(turn)/2
		if got := sum(bend, width); math.Abs(got-want) > 2e-3*h*h+1e-5 {
			t.Fatalf("turn %v, width %v covers %v, want %v", turn, width, got, want)
		}
	}
}

// Length by clipping every line to every cell.
func TestBurnLengthAgainstClipping(t *testing.T) {
	r := alignSeed(t)
	for range 20 {
		lines := []orb.Geometry{randomLine(r), randomLine(r), orb.MultiLineString{randomLine(r), randomLine(r)}}
		got := burned(shapesOf(t, lines...), Burn{Kind: BurnLength}, unitGrid.Window())
		for k, v := range got.Values {
			want := 0.0
			for _, l := range lines {
				want += planar.Length(clip.Geometry(cellBound(k%40, k/40), orb.Clone(l)))
			}
			if math.Abs(float64(v)-want) > 1e-6 {
				t.Fatalf("cell %d, %d: %v m, want %v", k%40, k/40, v, want)
			}
		}
	}
}

// A line along cell edges is counted once.
func TestBurnLengthAlongEdges(t *testing.T) {
	got := burned(shapesOf(t, orb.LineString{{2, -3}, {6, -3}, {6, -8}}), Burn{Kind: BurnLength}, unitGrid.Window())
	total := 0.0
	for _, v := range got.Values {
		total += float64(v)
	}
	if total != 9 || got.Value(2, 3) != 1 || got.Value(2, 2) != 0 || got.Value(6, 3) != 1 {
		t.Fatalf("total %v", total)
	}
}

// Centres, against orb's own point-in-polygon.
func TestBurnCentreAgainstContains(t *testing.T) {
	r := alignSeed(t)
	for range 60 {
		p := star(r, orb.Point{40 * r.Float64(), -40 * r.Float64()}, 12*r.Float64())
		got := burned(shapesOf(t, p), Burn{Kind: BurnCentre}, unitGrid.Window())
		for k, v := range got.Values {
			if in := planar.PolygonContains(p, unitGrid.Centre(k%40, k/40)); in != (v == 1) {
				t.Fatalf("cell %d, %d: %v, contains %v", k%40, k/40, v, in)
			}
		}
	}
}

// Polygons that cut the ground up between them never share a centre and lose
// none, even where vertices and edges run through centres.
func TestBurnCentreTiles(t *testing.T) {
	r := alignSeed(t)
	for _, fine := range []float64{2, 1e9} { // vertices on half cells, or anywhere
		for range 20 {
			got := Block{Window: unitGrid.Window(), Values: make([]float32, 1600)}
			for _, p := range mesh(r, 8, fine) {
				one := burned(shapesOf(t, p), Burn{Kind: BurnCentre}, unitGrid.Window())
				for k, v := range one.Values {
					got.Values[k] += v
				}
			}
			for k, v := range got.Values {
				if v != 1 {
					t.Fatalf("fine %g: the centre of cell %d, %d belongs to %v polygons", fine, k%40, k/40, v)
				}
			}
		}
	}
}

// mesh cuts the unit grid and a margin into triangles with shaken corners on
// multiples of 1/fine.
func mesh(r *rand.Rand, n int, fine float64) []orb.Polygon {
	corner := make([]orb.Point, (n+1)*(n+1))
	size := 44.0 / float64(n)
	for k := range corner {
		u := -2 + size*(float64(k%(n+1))+0.3*(r.Float64()-0.5))
		v := -2 + size*(float64(k/(n+1))+0.3*(r.Float64()-0.5))
		corner[k] = orb.Point{math.Round(u*fine) / fine, -math.Round(v*fine) / fine}
	}
	var list []orb.Polygon
	for j := range n {
		for i := range n {
			a, b := corner[j*(n+1)+i], corner[j*(n+1)+i+1]
			c, d := corner[(j+1)*(n+1)+i], corner[(j+1)*(n+1)+i+1]
			list = append(list, orb.Polygon{{a, b, d, a}}, orb.Polygon{{a, d, c, a}})
		}
	}
	return list
}

// Touch, against exact rational arithmetic on lattice segments, where every tie
// there is comes up.
func TestBurnTouchExact(t *testing.T) {
	t.Parallel()
	r := alignSeed(t)
	for range 400 {
		at := func() orb.Point { return orb.Point{float64(r.IntN(33)) / 4, -float64(r.IntN(33)) / 4} }
		l := orb.LineString{at(), at()}
		if r.IntN(4) == 0 {
			l[1] = orb.Point{8 * r.Float64(), -8 * r.Float64()}
		}
		w := Window{Col: -1, Row: -1, Cols: 11, Rows: 11}
		got := burned(shapesOf(t, l), Burn{Kind: BurnTouch}, w)
		for k, v := range got.Values {
			col, row := w.Col+k%w.Cols, w.Row+k/w.Cols
			if want := touchesExactly(l, col, row); want != (v == 1) {
				t.Fatalf("%v and cell %d, %d: burned %v, touches %v", l, col, row, v, want)
			}
		}
	}
}

// touchesExactly asks whether some t in [0, 1] puts u in [col, col+1) and v in
// [row, row+1).
func touchesExactly(l orb.LineString, col, row int) bool {
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	low, high := rat(0), rat(1)
	openLow, openHigh := false, false
	for _, axis := range []struct {
		from, to float64
		cell     int
	}{{l[0][0], l[1][0], col}, {-l[0][1], -l[1][1], row}} {
		a, d := rat(axis.from), new(big.Rat).Sub(rat(axis.to), rat(axis.from))
		near, far := rat(float64(axis.cell)), rat(float64(axis.cell+1))
		if d.Sign() == 0 {
			if a.Cmp(near) < 0 || a.Cmp(far) >= 0 {
				return false
			}
			continue
		}
		enter := new(big.Rat).Quo(new(big.Rat).Sub(near, a), d)
		leave := new(big.Rat).Quo(new(big.Rat).Sub(far, a), d)
		enterOpen, leaveOpen := false, true
		if d.Sign() < 0 {
			enter, leave, enterOpen, leaveOpen = leave, enter, true, false
		}
		if c := enter.Cmp(low); c > 0 || c == 0 && enterOpen {
			low, openLow = enter, enterOpen
		}
		if c := leave.Cmp(high); c < 0 || c == 0 && leaveOpen {
			high, openHigh = leave, leaveOpen
		}
	}
	c := low.Cmp(high)
	return c < 0 || c == 0 && !openLow && !openHigh
}

// A polygon touches what it shares any area with, and nothing that lies apart.
func TestBurnTouchHoldsShare(t *testing.T) {
	r := alignSeed(t)
	for range 60 {
		s := shapesOf(t, star(r, orb.Point{40 * r.Float64(), -40 * r.Float64()}, 12*r.Float64()))
		touch, share := burned(s, Burn{Kind: BurnTouch}, unitGrid.Window()), burned(s, Burn{Kind: BurnShare}, unitGrid.Window())
		for k := range touch.Values {
			if (share.Values[k] > 0) != (touch.Values[k] == 1) && share.Values[k] > 1e-9 {
				t.Fatalf("cell %d: share %v, touch %v", k, share.Values[k], touch.Values[k])
			}
		}
	}
}

func TestBurnCount(t *testing.T) {
	got := burned(shapesOf(t, orb.Point{2.5, -3.5}, orb.Point{2.1, -3.9}, orb.Point{3, -3}, orb.Bound{Min: orb.Point{0, -6}, Max: orb.Point{5, -1}}.ToPolygon()),
		Burn{Kind: BurnCount}, unitGrid.Window())
	if got.Value(2, 3) != 3 || got.Value(3, 3) != 1 {
		t.Fatalf("counts %v and %v", got.Value(2, 3), got.Value(3, 3))
	}
}

// A feature without extent still counts once.
func TestBurnCountWithoutExtent(t *testing.T) {
	got := burned(shapesOf(t, orb.LineString{{2.5, -3.5}, {2.5, -3.5}}), Burn{Kind: BurnCount}, unitGrid.Window())
	if got.Value(2, 3) != 1 {
		t.Fatalf("count %v", got.Value(2, 3))
	}
}

// The first by feature id keeps a cell.
func TestBurnClassesFirstKeeps(t *testing.T) {
	s := shapesOf(t, orb.Bound{Min: orb.Point{1, -3}, Max: orb.Point{3, -1}}.ToPolygon(), orb.Bound{Min: orb.Point{0, -4}, Max: orb.Point{4, 0}}.ToPolygon())
	out := NewCodes(Window{Cols: 5, Rows: 5})
	newBurner(out.Window, 1).classes(s, func(i int32) uint8 { return uint8(i) + 3 }, out)
	if out.Code(1, 1) != 3 || out.Code(0, 0) != 4 || out.Code(4, 4) != NoClass {
		t.Fatalf("codes %v", out.Codes)
	}
}

func BenchmarkBurn(b *testing.B) {
	r := rand.New(rand.NewPCG(2, 2))
	var list []orb.Geometry
	for range 4000 {
		at := orb.Point{512 * r.Float64(), -512 * r.Float64()}
		list = append(list, star(r, at, 6), orb.LineString{at, {at[0] + 9, at[1] - 14}})
	}
	s := shapesOf(b, list...)
	w := Window{Cols: 512, Rows: 512}
	for _, how := range everyBurn {
		name := how.Kind.String()
		if how.Width > 0 {
			name += " of width"
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				burned(s, how, w)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(list)), "ns/feature")
		})
	}
}
