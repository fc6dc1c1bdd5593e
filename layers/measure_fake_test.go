package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// memoryReader reads layers that lie in memory; beyond their cells nothing is
// known.
type memoryReader struct {
	grid     Grid
	layers   map[string]*Layer
	blocks   map[string]Block
	features map[string][]memoryFeature
}

// memoryFeature lies in one cell.
type memoryFeature struct {
	col, row int
	metres   float64
	fields   map[string]string
}

func newMemoryReader(cell float64) *memoryReader {
	return &memoryReader{
		grid:     Grid{West: 1000, North: 9000, Cell: cell, Cols: 40, Rows: 30},
		layers:   map[string]*Layer{},
		blocks:   map[string]Block{},
		features: map[string][]memoryFeature{},
	}
}

func (m *memoryReader) addClasses(name string, b Block, classes ...string) {
	l := &Layer{Name: name, Kind: Classes}
	for i, c := range classes {
		l.Classes = append(l.Classes, Class{Value: 10 + i, Name: c})
	}
	m.layers[name], m.blocks[name] = l, b
}

func (m *memoryReader) addQuantity(name string, b Block) {
	m.layers[name], m.blocks[name] = &Layer{Name: name, Kind: Quantity, Unit: "m"}, b
}

func (m *memoryReader) addFeatures(name string, features ...memoryFeature) {
	l := &Layer{Name: name, Kind: Features, Fields: map[string][]string{}}
	for _, f := range features {
		for field, value := range f.fields {
			if !slices.Contains(l.Fields[field], value) {
				l.Fields[field] = append(l.Fields[field], value)
			}
		}
	}
	m.layers[name], m.features[name] = l, features
}

// addShapes adds features with geometries in the grid's CRS, numbered from 0.
func (m *memoryReader) addShapes(t testing.TB, name, traffic string, features ...Feature) {
	t.Helper()
	f := &featureLayer{spec: LayerSpec{Name: name}, grid: m.grid, columns: map[string]*attributeColumn{}}
	for _, feature := range features {
		for field := range feature.Attributes {
			f.columns[field] = &attributeColumn{known: map[string]uint32{}}
		}
	}
	var list []shape
	for i, feature := range features {
		s, err := newShape(int64(i), orb.Clone(feature.Geometry), m.grid)
		if err != nil {
			t.Fatal(err)
		}
		s.row = i
		list = append(list, s)
		for field, c := range f.columns {
			c.add(feature.Attributes[field])
		}
	}
	f.shapes = newShapes(list)
	m.layers[name] = &Layer{Name: name, Kind: Features, Fields: f.fields(), TrafficField: traffic, source: f}
}

func (m *memoryReader) Grid() Grid { return m.grid }

func (m *memoryReader) Layer(name string) (*Layer, error) {
	if l, ok := m.layers[name]; ok {
		return l, nil
	}
	return nil, fmt.Errorf("layers: no layer %q", name)
}

func (m *memoryReader) Read(name string, w Window) (Block, error) {
	if m.layers[name].Kind == Features {
		return m.Burn(name, Burn{Kind: BurnTouch}, w)
	}
	from := m.blocks[name]
	out := NewValues(w)
	if from.IsCodes() {
		out = NewCodes(w)
	}
	shared := w.Intersect(from.Window)
	for row := shared.Row; row < shared.Bottom(); row++ {
		for col := shared.Col; col < shared.Right(); col++ {
			if from.IsCodes() {
				out.Codes[out.offset(row)+col-w.Col] = from.Code(col, row)
			} else {
				out.Values[out.offset(row)+col-w.Col] = from.Value(col, row)
			}
		}
	}
	return out, nil
}

func (m *memoryReader) Burn(name string, how Burn, w Window) (Block, error) {
	out := Block{Window: w, Values: make([]float32, w.Cells())}
	if source := m.layers[name].source; source != nil {
		return out, source.burn(how, w, out)
	}
	for _, f := range m.features[name] {
		if !w.Has(f.col, f.row) || len(how.Where) > 0 && !slices.Contains(how.Where, f.fields[how.Field]) {
			continue
		}
		at := &out.Values[out.offset(f.row)+f.col-w.Col]
		switch how.Kind {
		case BurnCount:
			*at++
		case BurnLength:
			*at += float32(f.metres)
		default:
			*at = 1
		}
	}
	return out, nil
}

// measureRand is a fresh seed, printed when a test fails.
func measureRand(t testing.TB) *rand.Rand {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// randomReader holds one layer of each kind, with unknown cells singly and in
// lumps, over a window that is a little wider than the grid.
func randomReader(rng *rand.Rand, cell float64) *memoryReader {
	m := newMemoryReader(cell)
	w := m.grid.Window().Grow(4)
	codes, values := NewCodes(w), NewValues(w)
	hole := Window{Col: rng.IntN(30), Row: rng.IntN(20), Cols: rng.IntN(14), Rows: rng.IntN(14)}
	for i := range codes.Codes {
		col, row := w.Col+i%w.Cols, w.Row+i/w.Cols
		if !hole.Has(col, row) && rng.IntN(20) > 0 {
			codes.Codes[i] = uint8(rng.IntN(5))
		}
		if !hole.Has(col, row) && rng.IntN(20) > 0 {
			values.Values[i] = float32(rng.NormFloat64() * math.Pow(10, float64(rng.IntN(9)-4)))
		}
	}
	m.addClasses("cover", codes, "heath", "mire", "water", "wood", "rock")
	m.addQuantity("rough", values)
	m.addQuantity("elev", terrainOf(rng, values))
	m.addFeatures("roads", randomFeatures(rng, w)...)
	m.addFeatures("walls", randomWalls(rng, w)...)
	m.layers["walls"].TrafficField = "vehicles"
	return m
}

// randomWalls are walks of cells, some of them too quiet to stop anybody.
func randomWalls(rng *rand.Rand, w Window) []memoryFeature {
	var cells []memoryFeature
	for range 14 {
		col, row := w.Col+rng.IntN(w.Cols), w.Row+rng.IntN(w.Rows)
		fields := map[string]string{"vehicles": []string{"100", "5000", "20000"}[rng.IntN(3)]}
		for range 30 {
			if rng.IntN(8) > 0 { // a gap now and then
				cells = append(cells, memoryFeature{col: col, row: row, fields: fields})
			}
			if rng.IntN(2) == 0 {
				col += rng.IntN(3) - 1
			} else {
				row += rng.IntN(3) - 1
			}
		}
	}
	return cells
}

// terrainOf is a slope with bumps, unknown where values are.
func terrainOf(rng *rand.Rand, values Block) Block {
	out := NewValues(values.Window)
	for i, v := range values.Values {
		if v == v {
			out.Values[i] = float32(math.Round(300+float64(i%50)*2+rng.Float64()*40) / 4)
		}
	}
	return out
}

func randomFeatures(rng *rand.Rand, w Window) []memoryFeature {
	var features []memoryFeature
	for range 25 {
		features = append(features, memoryFeature{
			col: w.Col + rng.IntN(w.Cols), row: w.Row + rng.IntN(w.Rows), metres: rng.Float64() * 30,
			fields: map[string]string{"vehicles": []string{"0", "300", "300.0", "12000"}[rng.IntN(4)]},
		})
	}
	return features
}

// evalOf takes a measure and fails the test if it cannot be taken.
func evalOf(t testing.TB, m Measure, r Reader, w Window) Block {
	t.Helper()
	if err := m.Check(r); err != nil {
		t.Fatal(err)
	}
	b, err := m.Eval(r, w)
	if err != nil {
		t.Fatal(err)
	}
	if b.Window != w {
		t.Fatalf("%s: block of window %+v for %+v", m.Key(), b.Window, w)
	}
	return b
}

// sameNumber compares as numbers, unknown equal to unknown.
func sameNumber(a, b float32, tolerance float64) bool {
	if a != a || b != b {
		return a != a && b != b
	}
	return math.Abs(float64(a)-float64(b)) <= tolerance*max(1, math.Abs(float64(b)))
}
