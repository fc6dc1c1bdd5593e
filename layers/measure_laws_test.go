package layers

import (
	"math"
	"slices"
	"testing"
)

// sampleMeasures is one of each kind.
func sampleMeasures() []Measure {
	latitude := -33.0
	measures := []Measure{
		Value{Layer: "cover"}, Value{Layer: "elev"},
		Terrain{Layer: "elev", What: Slope}, Terrain{Layer: "elev", What: Aspect},
		Terrain{Layer: "elev", What: HeatLoad, Latitude: &latitude},
	}
	for _, b := range slices.Concat(bruteForces(), barrierForces(), targetForces()) {
		measures = append(measures, b.measure)
	}
	return append(measures, samplePoints(), NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(90)},
		NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(70), Barrier: Barrier{"walls", 1000}})
}

// splitWindow cuts a window at random into smaller ones.
func splitWindow(w Window, pick func(n int) int) []Window {
	if w.Cells() < 60 || pick(6) == 0 {
		return []Window{w}
	}
	if w.Cols > w.Rows {
		n := 1 + pick(w.Cols-1)
		return append(splitWindow(Window{w.Col, w.Row, n, w.Rows}, pick),
			splitWindow(Window{w.Col + n, w.Row, w.Cols - n, w.Rows}, pick)...)
	}
	n := 1 + pick(w.Rows-1)
	return append(splitWindow(Window{w.Col, w.Row, w.Cols, n}, pick),
		splitWindow(Window{w.Col, w.Row + n, w.Cols, w.Rows - n}, pick)...)
}

// The same bytes for a cell whichever window it is asked for in.
func TestMeasuresWindowInvariant(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	m.addPonds(t, rng)
	w := m.grid.Window().Grow(6)
	for _, measure := range sampleMeasures() {
		whole := evalOf(t, measure, m, w)
		for _, part := range splitWindow(w, rng.IntN) {
			got := evalOf(t, measure, m, part)
			if !sameBits(got, whole.Part(part)) {
				t.Errorf("%s: window %+v differs from the whole", measure.Key(), part)
			}
		}
	}
}

func sameBits(a, b Block) bool {
	a, b = a.Packed(), b.Packed()
	for i := range a.Codes {
		if a.Codes[i] != b.Codes[i] {
			return false
		}
	}
	for i := range a.Values {
		if math.Float32bits(a.Values[i]) != math.Float32bits(b.Values[i]) {
			return false
		}
	}
	return len(a.Codes) == len(b.Codes) && len(a.Values) == len(b.Values)
}

// A measure may read no farther than its reach, rounded up to whole cells.
func TestMeasuresStayWithinReach(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	m.addPonds(t, rng)
	w := Window{Col: 10, Row: 10, Cols: 7, Rows: 5}
	for _, measure := range sampleMeasures() {
		watch := &reachReader{memoryReader: m, most: w.Grow(m.grid.ReachCells(measure.Reach()))}
		evalOf(t, measure, watch, w)
		if watch.strayed {
			t.Errorf("%s reads beyond %g m", measure.Key(), measure.Reach())
		}
	}
}

type reachReader struct {
	*memoryReader
	most    Window
	strayed bool
}

func (r *reachReader) Read(layer string, w Window) (Block, error) {
	r.strayed = r.strayed || !r.most.Contains(w)
	return r.memoryReader.Read(layer, w)
}

func (r *reachReader) Burn(layer string, how Burn, w Window) (Block, error) {
	r.strayed = r.strayed || !r.most.Contains(w)
	return r.memoryReader.Burn(layer, how, w)
}

// Where the fast way to add is exact, the slow way gives the same bits.
func TestExactSumsAgreeWithChordSums(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	d := newDisc(63, 10)
	w := Window{Col: -5, Row: 3, Cols: 33, Rows: 21}
	source, _ := m.Read("elev", w.Grow(d.radius))
	exact, chords := exactSums(source, w, d), chordSums(source, w, d)
	if exact == nil {
		t.Fatal("quarter metres should add exactly")
	}
	for row := w.Row; row < w.Bottom(); row++ {
		a, b := exact(row), chords(row)
		for i := range a {
			if math.Float64bits(a[i]) != math.Float64bits(b[i]) {
				t.Fatalf("row %d column %d: %x exactly, %x by chords", row, i, a[i], b[i])
			}
		}
	}
	wild, _ := m.Read("rough", w.Grow(d.radius))
	if exactSums(wild, w, d) != nil {
		t.Error("numbers over nine decades of size cannot add exactly")
	}
}

func TestLowestBit(t *testing.T) {
	for v, want := range map[float32]int{1: 0, 3: 0, 12: 2, 0.75: -2, -5.5: -1, 1 << 30: 30, math.SmallestNonzeroFloat32: -149} {
		if got := lowestBit(v); got != want {
			t.Errorf("lowest bit of %g: %d, want %d", v, got, want)
		}
	}
}

// One class everywhere gives its weight; halving all weights halves the share;
// the classes' shares add up to 1.
func TestShareLaws(t *testing.T) {
	m := randomReader(measureRand(t), 10)
	w := m.grid.Window()
	full := evalOf(t, Share{Layer: "cover", Radius: 80, Weights: map[string]float64{"heath": 1, "mire": 1, "water": 1, "wood": 1, "rock": 1}}, m, w)
	total := make([]float64, w.Cells())
	for _, class := range []string{"heath", "mire", "water", "wood", "rock"} {
		one := evalOf(t, Share{Layer: "cover", Radius: 80, Weights: map[string]float64{class: 1}}, m, w)
		half := evalOf(t, Share{Layer: "cover", Radius: 80, Weights: map[string]float64{class: 0.5}}, m, w)
		for i, v := range one.Values {
			total[i] += float64(v)
			if v == v && half.Values[i] != v/2 {
				t.Fatalf("class %s: %g at half weight, %g at full", class, half.Values[i], v)
			}
		}
	}
	for i, v := range full.Values {
		if v == v && (v != 1 || math.Abs(total[i]-1) > 1e-6) {
			t.Fatalf("cell %d: all classes %g, one by one %g", i, v, total[i])
		}
	}
}

// A straight edge of an upright or level line is as long as it is; a slanting
// one at 45 degrees counts two cell sides for every √2.
func TestEdgeLength(t *testing.T) {
	radius := 300.0
	for _, c := range []struct {
		name  string
		is    func(col, row int) bool
		ratio float64
	}{
		{"upright", func(col, row int) bool { return col < 30 }, 1},
		{"level", func(col, row int) bool { return row < 30 }, 1},
		{"slanting", func(col, row int) bool { return col < row }, math.Sqrt2},
	} {
		m := membersAt(61, 61, c.is)
		m.grid.Cell = 10
		e := Edge{Layer: "cover", A: []string{"pond"}, B: []string{"land"}, Radius: radius}
		got := float64(evalOf(t, e, m, Window{Col: 30, Row: 30, Cols: 1, Rows: 1}).Values[0])
		want := c.ratio * 2 * radius / (math.Pi * radius * radius / 1e4)
		if math.Abs(got/want-1) > 0.03 {
			t.Errorf("%s: %.1f m per ha, want about %.1f", c.name, got, want)
		}
	}
}
