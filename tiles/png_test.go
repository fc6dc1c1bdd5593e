package tiles

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"testing"
)

// Go's own image/png is the independent reader: every pixel comes back, at
// every depth, with its transparency.
func TestPNGReadsBack(t *testing.T) {
	const seed = 11
	r := rand.New(rand.NewPCG(seed, 0))
	colours := make([]color.NRGBA, 256)
	for i := range colours {
		colours[i] = color.NRGBA{uint8(r.Uint32()), uint8(r.Uint32()), uint8(r.Uint32()), 255}
	}
	colours[0], colours[7] = color.NRGBA{}, color.NRGBA{9, 8, 7, 100}
	w, err := newPNGWriter()
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []int{256, 512} {
		for _, c := range []struct{ colours, bits int }{{1, 1}, {2, 1}, {3, 2}, {4, 2}, {5, 4}, {16, 4}, {17, 8}, {256, 8}} {
			numbers := make([]byte, size*size)
			for i := range numbers {
				numbers[i] = byte((i + int(r.Uint32N(uint32(c.colours)))) % c.colours * 256 / c.colours)
			}
			data, err := w.write(numbers, size, colours)
			if err != nil {
				t.Fatal(err)
			}
			if got := int(data[24]); got != c.bits {
				t.Errorf("%d colours: %d bits, want %d", c.colours, got, c.bits)
			}
			picture, err := png.Decode(bytes.NewReader(data))
			if err != nil {
				t.Fatalf("seed %d, %d colours: %v", seed, c.colours, err)
			}
			if picture.Bounds() != image.Rect(0, 0, size, size) {
				t.Fatalf("bounds %v", picture.Bounds())
			}
			for i, n := range numbers {
				got := color.NRGBAModel.Convert(picture.At(i%size, i/size)).(color.NRGBA)
				if want := colours[n]; got != want && (got.A != 0 || want.A != 0) && !near(got, want) {
					t.Fatalf("seed %d, %d colours: pixel %d is %v, want %v", seed, c.colours, i, got, want)
				}
			}
		}
	}
}

// near allows for image/color's own rounding of colours with transparency.
func near(a, b color.NRGBA) bool {
	return a.A == b.A && abs(int(a.R)-int(b.R)) <= 1 && abs(int(a.G)-int(b.G)) <= 1 && abs(int(a.B)-int(b.B)) <= 1
}

func TestPNGRepeats(t *testing.T) {
	p := newPixels(256)
	for i := range p.values {
		p.values[i], p.standing[i] = rolling(i%256, i/256)
	}
	var first []byte
	for range 3 {
		painter, err := newPainter(DefaultPalette(), 256)
		if err != nil {
			t.Fatal(err)
		}
		for range 2 {
			data, err := painter.paint(p)
			if err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = bytes.Clone(data)
			}
			if !bytes.Equal(first, data) {
				t.Fatal("the same pixels gave other bytes")
			}
		}
	}
}
