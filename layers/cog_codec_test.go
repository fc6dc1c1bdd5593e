package layers

import (
	"bytes"
	stdzlib "compress/zlib"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/klauspost/compress/zlib"
)

// scene is a landscape-like square of n by n cells: sums of smooth noise cut
// into classes, a continuous surface that is 0 in some of the classes, and the
// same surface before rounding.
func scene(n int) (surface, classes []uint8, exact []float32) {
	rng := rand.New(rand.NewPCG(1, 2))
	octaves := []func(x, y int) float64{noise(rng, n, 200), noise(rng, n, 60), noise(rng, n, 17), noise(rng, n, 5)}
	for i := range n * n {
		v, weight := 0.01*rng.Float64(), 0.5
		for _, o := range octaves {
			v += weight * o(i%n, i/n)
			weight *= 0.55
		}
		class := uint8(12 * v)
		s := v * (0.3 + 0.1*float64(class%8))
		if class%4 == 0 {
			s = 0
		}
		classes, exact = append(classes, class), append(exact, float32(s))
		surface = append(surface, uint8(math.Round(200*min(1, s))))
	}
	return surface, classes, exact
}

// noise is bilinear between random heights every step cells.
func noise(rng *rand.Rand, n, step int) func(x, y int) float64 {
	side := n/step + 2
	heights := make([]float64, side*side)
	for i := range heights {
		heights[i] = rng.Float64()
	}
	return func(x, y int) float64 {
		i, j := x/step, y/step
		a, b := float64(x%step)/float64(step), float64(y%step)/float64(step)
		at := heights[j*side+i:]
		return (at[0]*(1-a)+at[1]*a)*(1-b) + (at[side]*(1-a)+at[side+1]*a)*b
	}
}

func TestTileRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 1)) // seed 17, 1
	bytesCodec, floatCodec := NewTileCodec(CogBytes, 255), NewTileCodec(CogFloats, 0)
	for range 20 {
		cells, floats := sampleCells(rng, tileCells), make([]float32, tileCells)
		for i := range floats {
			floats[i] = math.Float32frombits(rng.Uint32()) // any float, infinities and NaNs too
		}
		gotBytes, gotFloats := make([]uint8, tileCells), make([]float32, tileCells)
		if err := bytesCodec.DecodeBytes(gotBytes, bytesCodec.EncodeBytes(nil, cells)); err != nil || !bytes.Equal(gotBytes, cells) {
			t.Fatalf("bytes differ: %v", err)
		}
		if err := floatCodec.DecodeFloats(gotFloats, floatCodec.EncodeFloats(nil, floats)); err != nil {
			t.Fatal(err)
		}
		for i, v := range floats {
			want := math.Float32bits(v)
			if v != v {
				want = canonicalNaN
			}
			if math.Float32bits(gotFloats[i]) != want {
				t.Fatalf("cell %d: %x, want %x", i, math.Float32bits(gotFloats[i]), want)
			}
		}
	}
}

// Whatever a codec did before, the same cells give the same bytes, and the
// standard library's zlib, which shares no code, reads them.
func TestTileBytesRepeat(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 2))
	used := NewTileCodec(CogBytes, 255)
	surface, classes, _ := scene(TileSide)
	for i := range 30 {
		cells := sampleCells(rng, tileCells)
		if i%3 == 1 {
			cells = surface
		}
		if i%3 == 2 {
			cells = classes
		}
		got := used.EncodeBytes([]byte("before"), cells)
		want := NewTileCodec(CogBytes, 255).EncodeBytes([]byte("before"), cells)
		if !bytes.Equal(got, want) {
			t.Fatalf("tile %d: other bytes from a used codec", i)
		}
		r, err := stdzlib.NewReader(bytes.NewReader(got[len("before"):]))
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil || len(raw) != tileCells || raw[0] != cells[0] || raw[1] != cells[1]-cells[0] {
			t.Fatalf("tile %d: %d bytes, %v", i, len(raw), err)
		}
	}
}

func TestEmptyTiles(t *testing.T) {
	cells, floats := make([]uint8, tileCells), make([]float32, tileCells)
	for i := range cells {
		cells[i], floats[i] = 7, float32(math.NaN())
	}
	b, f := NewTileCodec(CogBytes, 7), NewTileCodec(CogFloats, 0)
	if got := len(b.EncodeBytes(nil, cells)) + len(f.EncodeFloats(nil, floats)); got != 0 {
		t.Errorf("empty tiles take %d bytes", got)
	}
	clear(cells)
	clear(floats)
	if b.DecodeBytes(cells, nil) != nil || f.DecodeFloats(floats, nil) != nil || !allBytes(cells, 7) || !allNaN(floats) {
		t.Error("an empty tile is not all nodata")
	}
}

func FuzzTileDecode(f *testing.F) {
	codec := NewTileCodec(CogBytes, 255)
	cells := sampleCells(rand.New(rand.NewPCG(17, 3)), tileCells)
	whole := codec.EncodeBytes(nil, cells)
	f.Add(whole)
	f.Add(whole[:len(whole)-1])
	f.Add(whole[:len(whole)/2])
	f.Add(append(bytes.Clone(whole), 1))
	f.Add([]byte{0x78})
	var long bytes.Buffer
	w := stdzlib.NewWriter(&long)
	w.Write(make([]byte, tileCells+1))
	w.Close()
	f.Add(long.Bytes())
	f.Fuzz(func(t *testing.T, tile []byte) {
		got := make([]uint8, tileCells)
		codec := NewTileCodec(CogBytes, 255)
		if codec.DecodeBytes(got, tile) != nil {
			return
		}
		again := make([]uint8, tileCells)
		if err := codec.DecodeBytes(again, codec.EncodeBytes(nil, got)); err != nil || !bytes.Equal(got, again) {
			t.Error("what was read does not survive", err)
		}
	})
}

func FuzzPickTags(f *testing.F) {
	f.Add([]byte("II*\x00\x08\x00\x00\x00\x01\x00\xaf\x87\x03\x00\x02\x00\x00\x00\x01\x00\x02\x00\x00\x00\x00\x00"))
	f.Add([]byte("II*\x00\xff\xff\xff\xff"))
	f.Add([]byte("II*\x00\x08\x00\x00\x00\x01\x00\xaf\x87\x03\x00\xff\xff\xff\xff\x01\x00\x02\x00"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		tags, err := pickTags(raw, tagGeoKeys, tagGeoDoubles, tagGeoText)
		for _, tag := range tags {
			if err == nil && len(tag.values) > len(raw) {
				t.Errorf("tag %d has %d bytes of %d", tag.id, len(tag.values), len(raw))
			}
		}
	})
}

func BenchmarkTile(b *testing.B) {
	surface, classes, exact := scene(TileSide)
	bytesCodec, floatCodec := NewTileCodec(CogBytes, 255), NewTileCodec(CogFloats, 0)
	var out []byte
	encode := func(name string, size int, work func() []byte) {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(size))
			b.ReportAllocs()
			for b.Loop() {
				out = work()
			}
			b.ReportMetric(100*float64(len(out))/float64(size), "%size")
		})
	}
	encode("encode surface", tileCells, func() []byte { return bytesCodec.EncodeBytes(out[:0], surface) })
	encode("encode classes", tileCells, func() []byte { return bytesCodec.EncodeBytes(out[:0], classes) })
	encode("encode floats", 4*tileCells, func() []byte { return floatCodec.EncodeFloats(out[:0], exact) })
	cells, tile := make([]uint8, tileCells), bytesCodec.EncodeBytes(nil, surface)
	encode("decode surface", tileCells, func() []byte { bytesCodec.DecodeBytes(cells, tile); return tile })
	floats, tile4 := make([]float32, tileCells), floatCodec.EncodeFloats(nil, exact)
	encode("decode floats", 4*tileCells, func() []byte { floatCodec.DecodeFloats(floats, tile4); return tile4 })
}

// BenchmarkTileLevels is the ground for codecLevel and for predictor 2.
func BenchmarkTileLevels(b *testing.B) {
	surface, classes, exact := scene(TileSide)
	difference := func(cells []uint8) []byte {
		raw := make([]byte, tileCells)
		for at := 0; at < tileCells; at += TileSide {
			predictBytes(raw[at:at+TileSide], cells[at:at+TileSide])
		}
		return raw
	}
	floats := make([]byte, 4*tileCells)
	for at := 0; at < tileCells; at += TileSide {
		predictFloats(floats[4*at:4*(at+TileSide)], exact[at:at+TileSide])
	}
	for _, in := range []struct {
		name string
		raw  []byte
	}{{"surface", surface}, {"surface predicted", difference(surface)}, {"classes", classes}, {"classes predicted", difference(classes)}, {"floats predicted", floats}} {
		for level := 1; level <= 7; level++ {
			b.Run(fmt.Sprintf("%s/level %d", in.name, level), func(b *testing.B) { benchmarkLevel(b, in.raw, level) })
		}
	}
}

func benchmarkLevel(b *testing.B, raw []byte, level int) {
	var out bytes.Buffer
	w, err := zlib.NewWriterLevel(&out, level)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		out.Reset()
		w.Reset(&out)
		w.Write(raw)
		w.Close()
	}
	b.ReportMetric(100*float64(out.Len())/float64(len(raw)), "%size")
}

// BenchmarkCog writes one surface from cells to file on one processor and says
// how many times longer GDAL's COG driver takes for the same cells in the same
// run, on one processor too, at its DEFLATE level 2 (and its default 6).
func BenchmarkCog(b *testing.B) {
	const side = 2048
	surface, _, _ := scene(side)
	s := cogSample{spec: CogSpec{Grid: sampleGrid(b, side, side), Nodata: 255, Overviews: Average}, bytes: surface}
	folder := b.TempDir()
	raw := filepath.Join(folder, "cells.raw")
	if err := os.WriteFile(raw, surface, 0o666); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(surface)))
	var path string
	for b.Loop() {
		path = writeCog(b, folder, "own", s, nil, rand.New(rand.NewPCG(1, 1)))
	}
	own := b.Elapsed().Seconds() / float64(b.N)
	info, err := os.Stat(path)
	if err != nil {
		b.Fatal(err)
	}
	for _, level := range []string{"2", "6"} {
		var seconds, size float64
		out, err := exec.Command("/usr/bin/python3", "testdata/bench_cog.py", raw, fmt.Sprint(side), level).Output()
		if err != nil {
			b.Logf("GDAL's Python binding: %v", err)
			return
		}
		fmt.Sscan(string(out), &seconds, &size)
		b.ReportMetric(seconds/own, "×GDAL"+level)
		b.ReportMetric(size/float64(info.Size()), "size×GDAL"+level)
	}
}
