package tiles

import (
	"context"
	"testing"

	"tussock/layers"
	"tussock/suitability"
)

func benchPixels() *pixels {
	p := newPixels(256)
	for i := range p.values {
		p.values[i], p.standing[i] = rolling(i%256, i/256)
	}
	return p
}

func BenchmarkPaint(b *testing.B) {
	steps, err := NewPalette(Steps, suitability.DefaultClasses(), suitability.DefaultClassWords())
	if err != nil {
		b.Fatal(err)
	}
	for name, palette := range map[string]*Palette{"bands": DefaultPalette(), "steps": steps} {
		b.Run(name, func(b *testing.B) {
			painter, err := newPainter(palette, 256)
			if err != nil {
				b.Fatal(err)
			}
			p := benchPixels()
			size := 0
			b.ReportAllocs()
			for b.Loop() {
				data, err := painter.paint(p)
				if err != nil {
					b.Fatal(err)
				}
				size = len(data)
			}
			b.ReportMetric(float64(size), "bytes/tile")
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "tiles/s")
		})
	}
}

func BenchmarkColour(b *testing.B) {
	p, palette, out := benchPixels(), DefaultPalette(), make([]byte, 256*256)
	b.SetBytes(256 * 256)
	for b.Loop() {
		palette.colour(p, out)
	}
}

func BenchmarkHalve(b *testing.B) {
	p, parent := benchPixels(), newPixels(256)
	b.SetBytes(256 * 256)
	b.ReportAllocs()
	for b.Loop() {
		p.halveInto(parent, 0, 0, false)
	}
}

// BenchmarkSample times the sampling of one tile from a grid in UTM, without the
// source's own time.
func BenchmarkSample(b *testing.B) {
	source := utmField(b, 600, 700, 25, rolling)
	flat := &flatSource{source}
	s := newSampler(flat, DefaultPalette(), 256)
	defer s.close()
	tile := TileAt(averholt, nativeZoom(25, 256, 56))
	into := newPixels(256)
	b.ReportAllocs()
	for b.Loop() {
		if err := s.tile(tile, into); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "tiles/s")
}

// flatSource fills its windows at no cost.
type flatSource struct{ *field }

func (f *flatSource) ReadBytes(w layers.Window, values, standing []byte) error {
	for i := range values {
		values[i], standing[i] = 100, 1
	}
	return nil
}

// BenchmarkPyramid makes about 700 tiles a round, all zooms.
func BenchmarkPyramid(b *testing.B) {
	source := mercatorField(averholt, 4000, 4000, CellSize(12), rollingTable())
	at, err := survey(source)
	if err != nil {
		b.Fatal(err)
	}
	o, err := Options{Formats: allFormats}.complete()
	if err != nil {
		b.Fatal(err)
	}
	z, err := o.zooms(at)
	if err != nil {
		b.Fatal(err)
	}
	tiles := 0
	for b.Loop() {
		p := pyramid{source: source, palette: o.Palette, ground: at, zooms: z, size: 256, workers: o.Workers}
		err := p.run(context.Background(), func(picture) error { tiles++; return nil })
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(tiles)/b.Elapsed().Seconds(), "tiles/s")
}

// rollingTable is rolling, looked up: the formula itself would take most of the time.
func rollingTable() func(col, row int) (byte, byte) {
	var table [1024][1024][2]byte
	for row := range table {
		for col := range table[row] {
			table[row][col][0], table[row][col][1] = rolling(col, row)
		}
	}
	return func(col, row int) (byte, byte) { c := &table[row&1023][col&1023]; return c[0], c[1] }
}
