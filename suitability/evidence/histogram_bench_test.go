package evidence

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"tussock/suitability"
)

// A made landscape of 10⁷ cells by default, of 10⁸ by
//
//	go test ./suitability/evidence -run - -bench Stream -evidence.cells 100000000
//
// streamed in blocks of 512 by 512, and the exact path on the same cells.
const (
	benchRecords = 2000
	benchBlock   = 512 * 512
)

var benchCells = flag.Int("evidence.cells", 10_000_000, "cells of the benchmarks")

func benchPresence() (floats []float64, bytes []uint8) {
	r := rand.New(rand.NewPCG(1, 9))
	for range benchRecords {
		v := float64(float32(math.Sqrt(r.Float64())))
		floats, bytes = append(floats, v), append(bytes, suitability.EncodeByte(v))
	}
	return floats, bytes
}

// benchBlocks gives one block after another, made over again from a few, so that
// the stream and not the making is timed.
func benchBlocks(cells int, each func(floats []float32, bytes []uint8)) {
	const kinds = 4
	r := rand.New(rand.NewPCG(2, 9))
	floats, bytes := make([]float32, kinds*benchBlock), make([]uint8, kinds*benchBlock)
	for i := range floats {
		floats[i] = float32(r.Float64() * r.Float64())
		bytes[i] = suitability.EncodeByte(float64(floats[i]))
	}
	for at, kind := 0, 0; at < cells; at, kind = at+benchBlock, (kind+1)%kinds {
		n := min(benchBlock, cells-at)
		each(floats[kind*benchBlock:][:n], bytes[kind*benchBlock:][:n])
	}
}

func ask(b *testing.B, h *Histogram) (auc, boyce float64) {
	b.Helper()
	a, err := h.AUC()
	if err != nil {
		b.Fatal(err)
	}
	index, err := h.Boyce(BoyceOptions{Domain: Scale})
	if err != nil {
		b.Fatal(err)
	}
	return a.Value, index.Index
}

func BenchmarkStreamFloats(b *testing.B) {
	presence, _ := benchPresence()
	b.ReportAllocs()
	b.SetBytes(4 * int64(*benchCells))
	for b.Loop() {
		h, err := NewHistogram(presence, BoyceOptions{Domain: Scale}.Cuts())
		if err != nil {
			b.Fatal(err)
		}
		benchBlocks(*benchCells, func(floats []float32, _ []uint8) { h.AddFloats(floats) })
		ask(b, h)
	}
}

func BenchmarkStreamBytes(b *testing.B) {
	_, presence := benchPresence()
	b.ReportAllocs()
	b.SetBytes(int64(*benchCells))
	for b.Loop() {
		h := NewByteHistogram(presence)
		benchBlocks(*benchCells, func(_ []float32, bytes []uint8) { h.AddBytes(bytes) })
		ask(b, h)
	}
}

// The exact path holds and sorts every cell; it is the check of the stream.
func BenchmarkExactFloats(b *testing.B) {
	presence, _ := benchPresence()
	cells := make([]float64, 0, *benchCells)
	h, err := NewHistogram(presence, BoyceOptions{Domain: Scale}.Cuts())
	if err != nil {
		b.Fatal(err)
	}
	benchBlocks(*benchCells, func(floats []float32, _ []uint8) {
		h.AddFloats(floats)
		for _, v := range floats {
			cells = append(cells, float64(v))
		}
	})
	auc, boyce := ask(b, h)
	b.ReportAllocs()
	b.SetBytes(4 * int64(*benchCells))
	for b.Loop() {
		a, err := AUC(presence, cells)
		if err != nil || math.Abs(a.Value-auc) > 1e-12 {
			b.Fatalf("AUC %.15f, streamed %.15f, %v", a.Value, auc, err)
		}
		index, err := Boyce(presence, cells, BoyceOptions{Domain: Scale})
		if err != nil || index.Index != boyce {
			b.Fatalf("Boyce %.15f, streamed %.15f, %v", index.Index, boyce, err)
		}
	}
}

func BenchmarkDeLong(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 9))
	p, c := drawn(r, 5000, .7, false), drawn(r, 100_000, 1, false)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := AUC(p, c); err != nil {
			b.Fatal(err)
		}
	}
}
