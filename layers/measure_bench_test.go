package layers

import (
	"math"
	"testing"
)

// benchReader holds one layer of each kind around a block of 1024 by 1024 cells
// of 10 m, without unknown cells.
func benchReader() (*memoryReader, Window) {
	w := Window{Cols: 1024, Rows: 1024}
	m := newMemoryReader(10)
	codes, values := NewCodes(w.Grow(60)), NewValues(w.Grow(60))
	rough := NewValues(w.Grow(60))
	state := uint32(1)
	for i := range codes.Codes {
		state = state*1664525 + 1013904223
		codes.Codes[i] = uint8(state >> 24 % 16)
		values.Values[i] = float32(state>>20) / 4
		rough.Values[i] = float32(math.Exp(float64(state>>8)/1e6 - 8))
	}
	names := make([]string, 16)
	for i := range names {
		names[i] = string(rune('a' + i))
	}
	m.addClasses("cover", codes, names...)
	m.addQuantity("elev", values)
	m.addQuantity("rough", rough)
	for i := range 4000 {
		m.features["roads"] = append(m.features["roads"], memoryFeature{
			col: i * 7919 % 1024, row: i * 104729 % 1024, metres: 8, fields: map[string]string{"vehicles": "900"}})
	}
	m.addFeatures("roads", m.features["roads"]...)
	return m, w
}

// blockReader hands out blocks that were read before, so that a benchmark
// times the measure and not the reading.
type blockReader struct {
	*memoryReader
	read, burned map[string]Block
}

func (r *blockReader) Read(layer string, w Window) (Block, error) {
	if b, ok := r.read[layer]; ok && b.Window == w {
		return b, nil
	}
	b, err := r.memoryReader.Read(layer, w)
	r.read[layer] = b
	return b, err
}

func (r *blockReader) Burn(layer string, how Burn, w Window) (Block, error) {
	if b, ok := r.burned[layer]; ok && b.Window == w {
		return b, nil
	}
	b, err := r.memoryReader.Burn(layer, how, w)
	r.burned[layer] = b
	return b, err
}

// BenchmarkMeasures takes each measure of one block on one goroutine; radii are
// 50 cells.
func BenchmarkMeasures(b *testing.B) {
	m, w := benchReader()
	latitude := 50.0
	for _, c := range []struct {
		name    string
		measure Measure
	}{
		{"share of one class", Share{Layer: "cover", Radius: 500, Weights: map[string]float64{"a": 1}}},
		{"share of two weights", Share{Layer: "cover", Radius: 500, Weights: map[string]float64{"a": 1, "b": 0.4}}},
		{"share of five weights", Share{Layer: "cover", Radius: 500, Weights: map[string]float64{"a": 1, "b": 0.4, "c": 0.3, "d": 0.2, "e": 0.1}}},
		{"mean, exact sums", Mean{Layer: "elev", Radius: 500}},
		{"mean, chord sums", Mean{Layer: "rough", Radius: 500}},
		{"mean, gaussian", Mean{Layer: "elev", Radius: 500, Kernel: Gaussian}},
		{"distance to a class", Distance{Layer: "cover", Classes: []string{"a"}, Limit: 500}},
		{"distance to features", Distance{Layer: "roads", Limit: 500}},
		{"density", Density{Layer: "roads", Radius: 500}},
		{"edge", Edge{"cover", []string{"a"}, []string{"b"}, 500}},
		{"slope", Terrain{Layer: "elev", What: Slope}},
		{"aspect", Terrain{Layer: "elev", What: Aspect}},
		{"heat load", Terrain{Layer: "elev", What: HeatLoad, Latitude: &latitude}},
		{"roughness", Terrain{Layer: "elev", What: Roughness}},
		{"road pressure", RoadPressure{"roads", "vehicles", 2e-4, 500}},
	} {
		b.Run(c.name, func(b *testing.B) {
			r := &blockReader{m, map[string]Block{}, map[string]Block{}}
			evalOf(b, c.measure, r, w)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.measure.Eval(r, w); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(w.Cells()), "ns/cell")
		})
	}
}
