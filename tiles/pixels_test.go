package tiles

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawByte(t *rapid.T, name string, unknown byte) byte {
	return rapid.SampledFrom([]byte{unknown, 1, 2, 3, 100, 199, 200}).Draw(t, name)
}

// The mean of the known values, halves to even, by brute force in floats.
func TestMeanOfFour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var four [4]byte
		sum, n := 0.0, 0.0
		for i := range four {
			four[i] = drawByte(t, "v", nothing)
			if four[i] != nothing {
				sum, n = sum+float64(four[i]), n+1
			}
		}
		want := byte(nothing)
		if n > 0 {
			want = byte(math.RoundToEven(sum / n))
		}
		got := make([]byte, 1)
		meanRow(got, four[:2], four[2:])
		if got[0] != want {
			t.Fatalf("%v became %d, want %d", four, got[0], want)
		}
	})
}

// Many fours of known values, the fast way through meanRow.
func TestMeanOfFourKnown(t *testing.T) {
	got := make([]byte, 1)
	for a := range 201 {
		for b := range 201 {
			c, d := (a*7+b)%201, (a+b*13)%201
			meanRow(got, []byte{byte(a), byte(b)}, []byte{byte(c), byte(d)})
			if want := byte(math.RoundToEven(float64(a+b+c+d) / 4)); got[0] != want {
				t.Fatalf("%d %d %d %d became %d, want %d", a, b, c, d, got[0], want)
			}
		}
	}
}

// The commonest known class, the lower of two, by brute force over a count.
func TestMajorityOfFour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unknown := rapid.SampledFrom([]byte{nothing, nowhere}).Draw(t, "unknown")
		var four [4]byte
		var count [256]int
		for i := range four {
			four[i] = drawByte(t, "v", unknown)
			if four[i] != unknown {
				count[four[i]]++
			}
		}
		want, most := unknown, 0
		for v, n := range count {
			if n > most {
				want, most = byte(v), n
			}
		}
		got := make([]byte, 1)
		majorityRow(got, four[:2], four[2:], unknown)
		if got[0] != want {
			t.Fatalf("%v became %d, want %d", four, got[0], want)
		}
	})
}

func TestHalvesFillTheirQuarters(t *testing.T) {
	parent := newPixels(256)
	for q := range 4 {
		child := newPixels(256)
		for i := range child.values {
			child.values[i], child.standing[i] = byte(10*q), byte(q+1)
		}
		child.halveInto(parent, q&1, q>>1, false)
	}
	for y := range 256 {
		for x := range 256 {
			q := x/128 + 2*(y/128)
			if v, s := parent.values[y*256+x], parent.standing[y*256+x]; v != byte(10*q) || s != byte(q+1) {
				t.Fatalf("pixel %d, %d: value %d, standing %d", x, y, v, s)
			}
		}
	}
	if parent.empty() || !newPixels(256).empty() {
		t.Error("empty is wrong")
	}
}

// A pyramid's tile is the halved tiles below it, whatever way they were made.
func TestLowZoomsComeFromValues(t *testing.T) {
	source := mercatorField(averholt, 1400, 1100, 60, patchy)
	palette := DefaultPalette()
	at, err := survey(source)
	if err != nil {
		t.Fatal(err)
	}
	z := nativeZoom(60, 256, 56)
	got := map[Tile]*pixels{}
	climb := climber{size: 256, top: 0, done: func(t Tile, p *pixels) error {
		copied := newPixels(256)
		copy(copied.values, p.values)
		copy(copied.standing, p.standing)
		got[t] = copied
		return nil
	}}
	samples := newSampler(source, palette, 256)
	base := newPixels(256)
	for tile := range at.cover(z).within(Tile{}) {
		if err := samples.tile(tile, base); err != nil {
			t.Fatal(err)
		}
		if err := climb.push(tile, base); err != nil {
			t.Fatal(err)
		}
	}
	if err := climb.close(); err != nil {
		t.Fatal(err)
	}
	checked := 0
	for tile, have := range got {
		if tile.Z == z {
			continue
		}
		want := newPixels(256)
		for _, child := range tile.children() {
			if below := got[child]; below != nil {
				below.halveInto(want, child.X&1, child.Y&1, false)
			}
		}
		if string(want.values) != string(have.values) || string(want.standing) != string(have.standing) {
			t.Errorf("tile %v is not its children halved", tile)
		}
		checked++
	}
	if checked < z {
		t.Errorf("only %d tiles above zoom %d", checked, z)
	}
}
