package layers

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// arraySource is a raster in memory.
type arraySource struct {
	cols, rows int
	values     []float32
	codes      []uint8
	strays     map[int]int // by index in the raster
	reads      int
}

func (a *arraySource) readValues(w Window) (sourceCells, error) {
	a.reads++
	out := sourceCells{window: w, values: make([]float32, 0, w.Cells())}
	for row := w.Row; row < w.Bottom(); row++ {
		out.values = append(out.values, a.values[row*a.cols+w.Col:row*a.cols+w.Right()]...)
	}
	return out, nil
}

func (a *arraySource) readCodes(w Window) (sourceCells, error) {
	a.reads++
	out := sourceCells{window: w, codes: make([]uint8, 0, w.Cells())}
	for row := w.Row; row < w.Bottom(); row++ {
		out.codes = append(out.codes, a.codes[row*a.cols+w.Col:row*a.cols+w.Right()]...)
	}
	if a.strays != nil {
		out.stray = func(k int) (int, bool) {
			value, is := a.strays[(w.Row+k/w.Cols)*a.cols+w.Col+k%w.Cols]
			return value, is
		}
	}
	return out, nil
}

// randomSource has every ninth cell unknown where it has several classes.
func randomSource(r *rand.Rand, cols, rows, classes int) *arraySource {
	a := &arraySource{cols: cols, rows: rows}
	for range cols * rows {
		v, code := float32(r.NormFloat64()), uint8(r.IntN(classes))
		if hole := r.IntN(9) == 0; hole && classes > 1 {
			v, code = float32(math.NaN()), NoClass
		}
		a.values, a.codes = append(a.values, v), append(a.codes, code)
	}
	return a
}

func testResampler(t testing.TB, a *arraySource, target, source [6]float64, points func(xs, ys []float64) error, how Resample) *resampler {
	t.Helper()
	m, err := newMapper(target, source, points, alignTolerance)
	if err != nil {
		t.Fatal(err)
	}
	return &resampler{mapper: m, source: a, extent: Window{Cols: a.cols, Rows: a.rows}, how: how, count: 7, limit: sourceLimit,
		stray: func(value, col, row int) error { return fmt.Errorf("value %d at %d, %d", value, col, row) }}
}

func resampled(t testing.TB, r *resampler, w Window, codes bool) Block {
	t.Helper()
	b := NewValues(w)
	if codes {
		b = NewCodes(w)
	}
	if err := r.run(w, b); err != nil {
		t.Fatal(err)
	}
	return b
}

func sameCell(a, b Block, col, row int) bool {
	if a.IsCodes() {
		return a.Code(col, row) == b.Code(col, row)
	}
	return math.Float32bits(a.Value(col, row)) == math.Float32bits(b.Value(col, row))
}

var resampleCases = []struct {
	name           string
	target, source [6]float64
	points         func(xs, ys []float64) error
}{
	{"aligned", [6]float64{30, 10, 0, 50, 0, -10}, [6]float64{-40, 10, 0, 90, 0, -10}, nil},
	{"finer source", [6]float64{3, 10, 0, 50, 0, -10}, [6]float64{-40, 3, 0, 90, 0, -4}, nil},
	{"coarser source", [6]float64{3, 10, 0, 50, 0, -10}, [6]float64{-40, 25, 0, 90, 0, -25}, nil},
	{"south up", [6]float64{3, 10, 0, 50, 0, -10}, [6]float64{-40, 7, 0, -700, 0, 7}, nil},
	{"rotated", [6]float64{3, 10, 0, 50, 0, -10}, [6]float64{-40, 6, 2, 90, 2, -6}, nil},
	{"bent", [6]float64{3, 10, 0, 50, 0, -10}, [6]float64{-140, 9, 0, 90, 0, -9}, bent},
}

// The same bytes come out for a cell whichever window it is asked for in, and
// however little of the source is read at once.
func TestResampleWindows(t *testing.T) {
	t.Parallel()
	r := alignSeed(t)
	a := randomSource(r, 150, 140, 7)
	all := Window{Col: -20, Row: -20, Cols: 150, Rows: 150}
	for _, c := range resampleCases {
		for _, how := range []Resample{Nearest, Bilinear, Average, Majority} {
			codes := how == Majority || how == Nearest && r.IntN(2) == 0
			rs := testResampler(t, a, c.target, c.source, c.points, how)
			whole := resampled(t, rs, all, codes)
			for _, limit := range []int{sourceLimit, 900, 2} {
				rs.limit = limit
				for range 6 {
					w := randomWindow(r, all)
					if limit == 2 {
						w.Cols, w.Rows = min(w.Cols, 20), min(w.Rows, 20)
					}
					part := resampled(t, rs, w, codes)
					for k := range w.Cells() {
						if col, row := w.Col+k%w.Cols, w.Row+k/w.Cols; !sameCell(part, whole, col, row) {
							t.Fatalf("%s, %v, limit %d, window %+v: cell %d, %d differs", c.name, how, limit, w, col, row)
						}
					}
				}
			}
		}
	}
}

// Against the definitions, cell by cell, without windows, strips or nets.
func TestResampleDefinitions(t *testing.T) {
	r := alignSeed(t)
	a := randomSource(r, 150, 140, 7)
	w := Window{Col: -12, Row: -9, Cols: 90, Rows: 80}
	for _, c := range resampleCases[:5] {
		for _, how := range []Resample{Nearest, Bilinear, Average, Majority} {
			codes := how == Majority
			rs := testResampler(t, a, c.target, c.source, c.points, how)
			got := resampled(t, rs, w, codes)
			for k := range w.Cells() {
				col, row := w.Col+k%w.Cols, w.Row+k/w.Cols
				if codes {
					if want := plainMajority(a, rs.mapper, col, row); got.Code(col, row) != want {
						t.Fatalf("%s, %v: cell %d, %d is %d, want %d", c.name, how, col, row, got.Code(col, row), want)
					}
					continue
				}
				want := plainValue(a, rs.mapper, how, col, row)
				if v := float64(got.Value(col, row)); math.IsNaN(v) != math.IsNaN(want) || math.Abs(v-want) > 1e-5 {
					t.Fatalf("%s, %v: cell %d, %d is %v, want %v", c.name, how, col, row, v, want)
				}
			}
		}
	}
}

func (a *arraySource) at(col, row int) float64 {
	if col < 0 || row < 0 || col >= a.cols || row >= a.rows {
		return math.NaN()
	}
	return float64(a.values[row*a.cols+col])
}

func (a *arraySource) codeAt(col, row int) uint8 {
	if col < 0 || row < 0 || col >= a.cols || row >= a.rows {
		return NoClass
	}
	return a.codes[row*a.cols+col]
}

func placeOf(m *Mapper, col, row float64) (x, y float64) {
	x, y = m.sourcePixel(m.targetPoint(col, row))
	return snap(x), snap(y)
}

func plainBox(m *Mapper, col, row int) (left, top, right, bottom float64) {
	left, top, right, bottom = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for k := range 4 {
		x, y := placeOf(m, float64(col+k%2), float64(row+k/2))
		left, top, right, bottom = min(left, x), min(top, y), max(right, x), max(bottom, y)
	}
	return left, top, right, bottom
}

// underBox calls f for every source cell, in the raster or not, with the area
// that it shares with a cell's box.
func underBox(m *Mapper, col, row int, f func(col, row int, area float64)) {
	left, top, right, bottom := plainBox(m, col, row)
	for j := int(math.Floor(top)); float64(j) < bottom; j++ {
		for i := int(math.Floor(left)); float64(i) < right; i++ {
			wide := min(right, float64(i+1)) - max(left, float64(i))
			high := min(bottom, float64(j+1)) - max(top, float64(j))
			f(i, j, wide*high)
		}
	}
}

func plainMajority(a *arraySource, m *Mapper, col, row int) uint8 {
	areas := map[uint8]float64{}
	underBox(m, col, row, func(i, j int, area float64) { areas[a.codeAt(i, j)] += area })
	delete(areas, NoClass)
	most := 0.0
	for _, area := range areas {
		most = max(most, area)
	}
	for code := range NoClass {
		if area, ok := areas[code]; ok && area > most-1e-7 {
			return code
		}
	}
	return NoClass
}

func plainValue(a *arraySource, m *Mapper, how Resample, col, row int) float64 {
	if how == Average {
		sum, weight := 0.0, 0.0
		underBox(m, col, row, func(i, j int, area float64) {
			if v := a.at(i, j); !math.IsNaN(v) {
				sum, weight = sum+v*area, weight+area
			}
		})
		return sum / weight
	}
	x, y := placeOf(m, float64(col)+0.5, float64(row)+0.5)
	centre := a.at(int(math.Floor(x)), int(math.Floor(y)))
	if how == Nearest || math.IsNaN(centre) {
		return centre
	}
	sum, weight := 0.0, 0.0
	for j := int(math.Floor(y)) - 2; j <= int(math.Floor(y))+2; j++ {
		for i := int(math.Floor(x)) - 2; i <= int(math.Floor(x))+2; i++ {
			// The hat function of each source centre.
			hat := max(0, 1-math.Abs(x-float64(i)-0.5)) * max(0, 1-math.Abs(y-float64(j)-0.5))
			if v := a.at(i, j); hat > 0 && !math.IsNaN(v) {
				sum, weight = sum+v*hat, weight+hat
			}
		}
	}
	return sum / weight
}

// Nothing known comes from nothing known, and 0 is not made up.
func TestResampleUnknownStaysUnknown(t *testing.T) {
	a := &arraySource{cols: 40, rows: 40}
	for range 1600 {
		a.values, a.codes = append(a.values, float32(math.NaN())), append(a.codes, NoClass)
	}
	for _, c := range resampleCases {
		for _, how := range []Resample{Nearest, Bilinear, Average, Majority} {
			b := resampled(t, testResampler(t, a, c.target, c.source, c.points, how), Window{Col: -10, Row: -10, Cols: 80, Rows: 80}, how == Majority)
			for k := range b.Window.Cells() {
				if b.IsCodes() && b.Codes[k] != NoClass || !b.IsCodes() && !math.IsNaN(float64(b.Values[k])) {
					t.Fatalf("%s, %v: cell %d is known", c.name, how, k)
				}
			}
		}
	}
}

// A stray number is an error exactly where a cell needs it.
func TestResampleStray(t *testing.T) {
	a := &arraySource{cols: 60, rows: 60, codes: make([]uint8, 3600), strays: map[int]int{25*60 + 31: 99}}
	for _, c := range []struct {
		name   string
		how    Resample
		target [6]float64
		ok     Window
		bad    Window
		want   string
	}{
		{"copy", Nearest, [6]float64{0, 1, 0, 0, 0, -1}, Window{Cols: 31, Rows: 60}, Window{Col: 20, Row: 20, Cols: 20, Rows: 20}, "value 99 at 31, 25"},
		{"nearest beside it", Nearest, [6]float64{-0.2, 2, 0, 0, 0, -2}, Window{Cols: 30, Rows: 30}, Window{}, ""},
		{"nearest on it", Nearest, [6]float64{0.2, 2, 0, 0, 0, -2}, Window{Cols: 15, Rows: 30}, Window{Cols: 30, Rows: 30}, "value 99 at 15, 12"},
		{"majority", Majority, [6]float64{0, 4, 0, 0, 0, -4}, Window{Col: 8, Cols: 5, Rows: 15}, Window{Cols: 15, Rows: 15}, "value 99 at 7, 6"},
	} {
		rs := testResampler(t, a, c.target, [6]float64{0, 1, 0, 0, 0, -1}, nil, c.how)
		if err := rs.run(c.ok, NewCodes(c.ok)); err != nil {
			t.Errorf("%s: %v, but no cell needs the stray one", c.name, err)
		}
		if c.want == "" {
			continue
		}
		if err := rs.run(c.bad, NewCodes(c.bad)); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestResampleReadError(t *testing.T) {
	rs := testResampler(t, &arraySource{cols: 9, rows: 9}, [6]float64{0, 3, 0, 0, 0, -3}, [6]float64{0, 2, 0, 0, 0, -2}, nil, Nearest)
	rs.source = brokenSource{}
	if err := rs.run(Window{Cols: 300, Rows: 300}, NewValues(Window{Cols: 300, Rows: 300})); !errors.Is(err, errBroken) {
		t.Fatalf("got %v", err)
	}
}

var errBroken = errors.New("broken")

type brokenSource struct{}

func (brokenSource) readValues(Window) (sourceCells, error) { return sourceCells{}, errBroken }
func (brokenSource) readCodes(Window) (sourceCells, error)  { return sourceCells{}, errBroken }

// viewSource hands out the same cells without copying, so that a benchmark
// measures the kernel.
type viewSource struct{ values sourceCells }

func (v viewSource) readValues(w Window) (sourceCells, error) {
	return sourceCells{window: w, values: v.values.values, codes: v.values.codes}, nil
}
func (v viewSource) readCodes(w Window) (sourceCells, error) { return v.readValues(w) }

func BenchmarkResample(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	a, whole := randomSource(r, 2600, 2600, 7), randomSource(r, 2600, 2600, 1)
	const side = 512
	grid := [6]float64{0, 10, 0, 0, 0, -10}
	for _, c := range []struct {
		name   string
		how    Resample
		codes  bool
		holes  bool // every ninth source cell unknown
		source [6]float64
		points func(xs, ys []float64) error
	}{
		{"nearest copy", Nearest, true, false, grid, nil},
		{"nearest same CRS", Nearest, true, false, [6]float64{-3, 25, 0, 3, 0, -25}, nil},
		{"nearest net", Nearest, true, false, [6]float64{-300, 10, 0, 300, 0, -10}, bent},
		{"bilinear same CRS", Bilinear, false, false, [6]float64{-3, 25, 0, 3, 0, -25}, nil},
		{"bilinear with holes", Bilinear, false, true, [6]float64{-3, 25, 0, 3, 0, -25}, nil},
		{"bilinear net", Bilinear, false, false, [6]float64{-300, 10, 0, 300, 0, -10}, bent},
		{"average 5 to 1", Average, false, false, [6]float64{0, 2, 0, 0, 0, -2}, nil},
		{"average net", Average, false, false, [6]float64{-300, 10, 0, 300, 0, -10}, bent},
		{"majority 5 to 1", Majority, true, false, [6]float64{0, 2, 0, 0, 0, -2}, nil},
	} {
		b.Run(c.name, func(b *testing.B) {
			rs := testResampler(b, a, grid, c.source, c.points, c.how)
			rs.source = viewSource{sourceCells{values: whole.values, codes: a.codes}}
			if c.holes {
				rs.source = viewSource{sourceCells{values: a.values}}
			}
			w := Window{Cols: side, Rows: side}
			out := NewValues(w)
			if c.codes {
				out = NewCodes(w)
			}
			b.ReportAllocs()
			for b.Loop() {
				if err := rs.run(w, out); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*w.Cells()), "ns/cell")
		})
	}
}
