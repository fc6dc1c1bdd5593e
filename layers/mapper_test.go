package layers

import (
	"math"
	"math/rand/v2"
	"testing"
)

// bent is a smooth, strongly bent transform with an inverse that nobody needs.
func bent(xs, ys []float64) error {
	for i, x := range xs {
		y := ys[i]
		xs[i] = x + 40*math.Sin(y/900) + x*y/2e5
		ys[i] = y + 30*math.Cos(x/700)
	}
	return nil
}

// cliff fails beyond x = 100.
func cliff(xs, ys []float64) error {
	for i, x := range xs {
		if x > 100 {
			xs[i], ys[i] = math.NaN(), math.NaN()
		}
	}
	return nil
}

func alignSeed(t testing.TB) *rand.Rand {
	t.Helper()
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

func randomWindow(r *rand.Rand, inside Window) Window {
	w := Window{Cols: 1 + r.IntN(inside.Cols), Rows: 1 + r.IntN(inside.Rows)}
	w.Col = inside.Col + r.IntN(inside.Cols-w.Cols+1)
	w.Row = inside.Row + r.IntN(inside.Rows-w.Rows+1)
	return w
}

var bentTarget = [6]float64{-1000, 10, 0, 1500, 0, -10}
var bentSource = [6]float64{-1200, 7, 0.5, 1700, -0.3, -8}

// The net keeps its promise against the transform itself, at every cell.
func TestMapperTolerance(t *testing.T) {
	for _, tolerance := range []float64{0.5, 0.02, 1e-4, 1e-9} {
		m, err := newMapper(bentTarget, bentSource, bent, tolerance)
		if err != nil {
			t.Fatal(err)
		}
		w := Window{Col: -70, Row: -3, Cols: 200, Rows: 150}
		xs, ys := make([]float64, w.Cells()), make([]float64, w.Cells())
		if err := m.Map(w, xs, ys); err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for k := range xs {
			x, y := m.targetPoint(float64(w.Col+k%w.Cols)+0.5, float64(w.Row+k/w.Cols)+0.5)
			one, two := []float64{x}, []float64{y}
			bent(one, two)
			x, y = m.sourcePixel(one[0], two[0])
			worst = max(worst, math.Abs(x-xs[k]), math.Abs(y-ys[k]))
		}
		if !(worst <= tolerance) {
			t.Errorf("tolerance %g: error %g source pixels", tolerance, worst)
		}
	}
}

// A cell's place is the same bytes in whatever window it is mapped.
func TestMapperWindows(t *testing.T) {
	r := alignSeed(t)
	for name, points := range map[string]func(xs, ys []float64) error{"bent": bent, "cliff": cliff, "same": nil} {
		m, err := newMapper(bentTarget, bentSource, points, alignTolerance)
		if err != nil {
			t.Fatal(err)
		}
		all := Window{Col: -90, Row: -70, Cols: 230, Rows: 180}
		xs, ys := make([]float64, all.Cells()), make([]float64, all.Cells())
		if err := m.Map(all, xs, ys); err != nil {
			t.Fatal(err)
		}
		for range 60 {
			w := randomWindow(r, all)
			px, py := make([]float64, w.Cells()), make([]float64, w.Cells())
			if err := m.Map(w, px, py); err != nil {
				t.Fatal(err)
			}
			for k := range px {
				at := (w.Row-all.Row+k/w.Cols)*all.Cols + w.Col - all.Col + k%w.Cols
				if math.Float64bits(px[k]) != math.Float64bits(xs[at]) || math.Float64bits(py[k]) != math.Float64bits(ys[at]) {
					t.Fatalf("%s: window %+v cell %d: (%v, %v), whole (%v, %v)", name, w, k, px[k], py[k], xs[at], ys[at])
				}
			}
		}
	}
}

// Where a transform ends, exactly the cells beyond it have no place.
func TestMapperEndOfDomain(t *testing.T) {
	m, err := newMapper([6]float64{0, 1, 0, 0, 0, -1}, [6]float64{0, 1, 0, 0, 0, -1}, cliff, alignTolerance)
	if err != nil {
		t.Fatal(err)
	}
	w := Window{Cols: 130, Rows: 2}
	xs, ys := make([]float64, w.Cells()), make([]float64, w.Cells())
	if err := m.Map(w, xs, ys); err != nil {
		t.Fatal(err)
	}
	for k := range xs {
		if col := k % w.Cols; math.IsNaN(xs[k]) != (col >= 100) {
			t.Fatalf("column %d: %v", col, xs[k])
		}
	}
}

// Footprints through the net lie around the exactly mapped corners.
func TestMapperFootprints(t *testing.T) {
	rs := testResampler(t, &arraySource{cols: 1, rows: 1}, bentTarget, bentSource, bent, Average)
	w := Window{Col: -20, Row: -7, Cols: 150, Rows: 90}
	boxes, err := rs.footprints(w)
	if err != nil {
		t.Fatal(err)
	}
	for k, f := range boxes {
		low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
		for n := range 4 {
			x, y := rs.mapper.targetPoint(float64(w.Col+k%w.Cols+n%2), float64(w.Row+k/w.Cols+n/2))
			one, two := []float64{x}, []float64{y}
			bent(one, two)
			x, y = rs.mapper.sourcePixel(one[0], two[0])
			low, high = [2]float64{min(low[0], x), min(low[1], y)}, [2]float64{max(high[0], x), max(high[1], y)}
		}
		off := max(math.Abs(f.left-low[0]), math.Abs(f.top-low[1]), math.Abs(f.right-high[0]), math.Abs(f.bottom-high[1]))
		if off > alignTolerance {
			t.Fatalf("cell %d: a side lies %g source cells off", k, off)
		}
	}
}

func TestMapperRefusesFlatAffine(t *testing.T) {
	if _, err := newMapper([6]float64{0, 1, 0, 0, 0, 0}, bentSource, nil, 0.1); err == nil {
		t.Fatal("an affine without area was taken")
	}
}

func TestChunkOf(t *testing.T) {
	for cell, want := range map[int]int{0: 0, 63: 0, 64: 1, -1: -1, -64: -1, -65: -2} {
		if got := chunkOf(cell); got != want {
			t.Errorf("chunkOf(%d) = %d, want %d", cell, got, want)
		}
	}
}

func BenchmarkMapperNet(b *testing.B) {
	m, _ := newMapper(bentTarget, bentSource, bent, alignTolerance)
	w := Window{Cols: 512, Rows: 512}
	xs, ys := make([]float64, w.Cells()), make([]float64, w.Cells())
	b.ReportAllocs()
	for b.Loop() {
		m.Map(w, xs, ys)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*w.Cells()), "ns/cell")
}
