package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// nearbyBenchReader is 512 by 512 cells of 25 m around which roads run every 2.5
// km, 300 ponds of 20 corners lie, and one river of 2,000 corners.
func nearbyBenchReader(b *testing.B) (*memoryReader, Window) {
	rng := rand.New(rand.NewPCG(1, 2))
	m := newMemoryReader(25)
	w := Window{Cols: 512, Rows: 512}
	codes, values := NewCodes(w.Grow(110)), NewValues(w.Grow(110))
	for i := range codes.Codes {
		codes.Codes[i] = uint8(rng.IntN(2))
		values.Values[i] = float32(math.Exp(rng.NormFloat64() * 8))
	}
	m.addClasses("cover", codes, "heath", "wood")
	m.addQuantity("rough", values)
	m.addQuantity("whole", quarters(values))
	place := func() orb.Point { return orb.Point{1000 + 12800*rng.Float64(), 9000 - 12800*rng.Float64()} }
	var roads, ponds []Feature
	for x := 0.0; x < 12800; x += 2500 {
		traffic := map[string]string{"aadt": fmt.Sprint(9000 + x)}
		roads = append(roads,
			Feature{Geometry: orb.LineString{{1200 + x, 20000}, {1700 + x, -20000}}, Attributes: traffic},
			Feature{Geometry: orb.LineString{{-20000, 8800 - x}, {20000, 8500 - x}}, Attributes: traffic})
	}
	for range 300 {
		ponds = append(ponds, Feature{Geometry: star(rng, place(), 40), Attributes: map[string]string{"score": fmt.Sprint(rng.Float64())}})
	}
	river := orb.LineString{}
	for i := range 2000 {
		river = append(river, orb.Point{1000 + 6.4*float64(i), 3000 + 800*math.Sin(float64(i)/90)})
	}
	m.addShapes(b, "roads", "aadt", roads...)
	m.addShapes(b, "ponds", "", ponds...)
	m.addShapes(b, "river", "", Feature{Geometry: river, Attributes: map[string]string{"score": "0.4"}})
	return m, w
}

// quarters is numbers that add exactly.
func quarters(b Block) Block {
	out := NewValues(b.Window)
	for i, v := range b.Values {
		out.Values[i] = float32(math.Round(math.Mod(float64(v), 500)*4) / 4)
	}
	return out
}

// BenchmarkNearby takes one block on one goroutine.
func BenchmarkNearby(b *testing.B) {
	m, w := nearbyBenchReader(b)
	rng := rand.New(rand.NewPCG(3, 4))
	points := make([]WeightedPoint, 4000)
	for i := range points {
		points[i] = WeightedPoint{orb.Point{1000 + 12800*rng.Float64(), 9000 - 12800*rng.Float64()}, rng.Float64()}
	}
	busy, heath := Barrier{"roads", 9000}, map[string]float64{"heath": 1}
	from := 0.6
	for _, c := range []struct {
		name    string
		measure Measure
	}{
		{"best of ponds, 2500 m", NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(2500)}},
		{"best of ponds, 2500 m, barrier", NearbyBest{Layer: "ponds", Score: testScore("score"), Fade: testFade(2500), Barrier: busy}},
		{"best of a river, 2500 m", NearbyBest{Layer: "river", Score: testScore("score"), Fade: testFade(2500)}},
		{"points, 4000 of 500 m", PointKernel{Of: "a", Points: points, Radius: 500, Half: 2}},
		{"share, 1000 m", Share{Layer: "cover", Radius: 1000, Weights: heath}},
		{"share, 1000 m, barrier", Share{Layer: "cover", Radius: 1000, Weights: heath, Barrier: busy}},
		{"mean, exact sums, 1000 m, barrier", Mean{Layer: "whole", Radius: 1000, Barrier: busy}},
		{"mean, 1000 m, barrier", Mean{Layer: "rough", Radius: 1000, Barrier: busy}},
		{"gaussian mean, 1000 m, barrier", Mean{Layer: "rough", Radius: 1000, Kernel: Gaussian, Barrier: busy}},
		{"density, 1000 m, barrier", Density{Layer: "ponds", Radius: 1000, Barrier: busy}},
		{"distance to several, 1000 m", Distance{Targets: []Target{{Layer: "cover", Classes: []string{"heath"}, Where: Condition{Layer: "whole", From: &from}}, {Layer: "ponds"}}, Limit: 1000}},
	} {
		b.Run(c.name, func(b *testing.B) {
			evalOf(b, c.measure, m, w)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.measure.Eval(m, w); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(w.Cells()), "ns/cell")
		})
	}
}

// BenchmarkBarrierBurn burns what a barrier of 3,000 winding roads needs for one
// block, beside the share that it cuts: whether keeping it could pay.
func BenchmarkBarrierBurn(b *testing.B) {
	m, w := nearbyBenchReader(b)
	rng := rand.New(rand.NewPCG(5, 6))
	var lanes []Feature
	for range 3000 {
		p := orb.Point{-2000 + 17000*rng.Float64(), 11000 - 17000*rng.Float64()}
		lane := orb.LineString{p}
		for range 12 {
			p = orb.Point{p[0] + 80*(rng.Float64()-0.5), p[1] + 80*rng.Float64()}
			lane = append(lane, p)
		}
		lanes = append(lanes, Feature{Geometry: lane, Attributes: map[string]string{"aadt": fmt.Sprint(rng.IntN(200) * 50)}})
	}
	m.addShapes(b, "lanes", "aadt", lanes...)
	busy := Barrier{"lanes", 6000}
	share := Share{Layer: "cover", Radius: 1000, Weights: map[string]float64{"heath": 1}, Barrier: busy}
	how, err := busy.roads(m, "share", "cover")
	if err != nil {
		b.Fatal(err)
	}
	grown := w.Grow(ReachOfDisc(share.Radius, m.grid.Cell))
	b.Run("burn", func(b *testing.B) {
		for b.Loop() {
			if _, err := m.Burn("lanes", how, grown); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("share", func(b *testing.B) {
		for b.Loop() {
			if _, err := share.Eval(m, w); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkFlood floods discs of 40 cells' radius in open land, in land cut by
// two roads, and among barriers strewn over every tenth cell.
func BenchmarkFlood(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	shape := newDisc(40, 1)
	for _, c := range []struct {
		name string
		wall func(col, row int) bool
	}{
		{"open", func(int, int) bool { return false }},
		{"two roads", func(col, row int) bool { return col == 50 || row == col-20 || row == col-21 }},
		{"a tenth", func(int, int) bool { return rng.IntN(10) == 0 }},
	} {
		w := Window{Cols: 101, Rows: 101}
		cells := Block{Window: w, Values: make([]float32, w.Cells())}
		for i := range cells.Values {
			if c.wall(i%w.Cols, i/w.Cols) {
				cells.Values[i] = 1
			}
		}
		f := newFlood(newFreeRuns(cells), shape)
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			flooded := 0
			for i := 0; b.Loop(); i++ {
				for _, s := range f.from(40+i%20, 40+i/20%20) {
					flooded += s.cells()
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(flooded), "ns/flooded-cell")
			b.ReportMetric(float64(flooded)/float64(b.N), "cells/op")
		})
	}
}
