package layers

import (
	"bytes"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// encodeCog writes a sample to memory, with a given bound on what the overviews
// may hold there.
func encodeCog(t *testing.T, s cogSample, limit int64, rng *rand.Rand) []byte {
	t.Helper()
	w, err := NewCog(s.spec)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	w.store.limit = limit
	var out bytes.Buffer
	if err := w.Write(&out, fillCog(t, w, s, rng)); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestCogBytesDoNotDependOnOrderOrMemory(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(13, 1)) // seed 13, 1
	for _, s := range []cogSample{
		byteSample(t, rng, 1300, 1100, Average), byteSample(t, rng, 1300, 1100, Majority), floatSample(t, rng, 1100, 600),
	} {
		want := encodeCog(t, s, storeLimit, rng)
		for _, limit := range []int64{0, 1 << 16, storeLimit} {
			if !bytes.Equal(encodeCog(t, s, limit, rng), want) {
				t.Errorf("%v by %v: other bytes with %d bytes of memory", s.spec.Cells, s.spec.Overviews, limit)
			}
		}
	}
}

func TestCogCanBeWrittenTwice(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 2))
	s := byteSample(t, rng, 600, 600, Average)
	w, err := NewCog(s.spec)
	if err != nil {
		t.Fatal(err)
	}
	tile := fillCog(t, w, s, rng)
	var one, two bytes.Buffer
	if err := errors.Join(w.Write(&one, tile), w.Write(&two, tile)); err != nil || !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Errorf("%v, %d and %d bytes", err, one.Len(), two.Len())
	}
	if err := w.Close(); err != nil {
		t.Error(err)
	}
	if err := w.Close(); !errors.Is(err, os.ErrClosed) {
		t.Errorf("second Close: %v", err)
	}
	if err := w.Write(io.Discard, tile); !errors.Is(err, ErrCog) {
		t.Errorf("Write after Close: %v", err)
	}
}

// A classic TIFF cannot point beyond 4 GiB (TIFF 6.0, section 2: 32-bit
// offsets); the sizes are announced, so nothing that large needs to be written.
func TestCogTurnsBig(t *testing.T) {
	const tile = 1 << 20
	for _, c := range []struct {
		tiles int
		big   bool
	}{{4000, false}, {4095, false}, {4096, true}, {5000, true}} {
		w, err := NewCog(CogSpec{Grid: sampleGrid(t, TileSide*c.tiles, 1), Nodata: 255, Overviews: Average})
		if err != nil {
			t.Fatal(err)
		}
		for col := range c.tiles {
			if err := w.SetTile(col, 0, tile); err != nil {
				t.Fatal(err)
			}
		}
		for col := range w.levels[1].across {
			if err := w.SetReduced(col, 0, nil); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.build(); err != nil {
			t.Fatal(err)
		}
		layout := w.layout()
		head := layout.encode()
		if layout.big != c.big || layout.size < int64(c.tiles)*tile || int64(len(head)) != layout.head {
			t.Errorf("%d tiles: big %v, %d bytes", c.tiles, layout.big, layout.size)
		}
		if want := map[bool]byte{false: 42, true: 43}[c.big]; head[2] != want {
			t.Errorf("%d tiles: version %d", c.tiles, head[2])
		}
	}
}

func TestCogNamesWhatIsWrong(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 3))
	s := byteSample(t, rng, 600, 300, Average)
	start := func() (*CogWriter, func(int, int) ([]byte, error)) {
		w, err := NewCog(s.spec)
		if err != nil {
			t.Fatal(err)
		}
		return w, fillCog(t, w, s, rng)
	}
	fresh := func() *CogWriter {
		w, err := NewCog(s.spec)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	broken := errors.New("the disk is gone")
	for want, try := range map[string]func() error{
		"column 0, row 0 was never given": func() error { return fresh().Write(io.Discard, nil) },
		"given twice":                     func() error { w, _ := start(); return w.SetTile(1, 1, 5) },
		"column 3, row 0":                 func() error { return fresh().SetTile(3, 0, 5) },
		"2 by 1 tiles":                    func() error { return fresh().SetReduced(0, 1, nil) },
		"has -1 bytes":                    func() error { return fresh().SetTile(0, 0, -1) },
		"the disk is gone": func() error {
			w, _ := start()
			return w.Write(io.Discard, func(int, int) ([]byte, error) { return nil, broken })
		},
		"column 0, row 0 has 3 bytes": func() error {
			w, _ := start()
			return w.Write(io.Discard, func(int, int) ([]byte, error) { return make([]byte, 3), nil })
		},
		"half-resolution tile in column 0, r": func() error { return halfForgotten(fresh()) },
		"damaged tile":                        func() error { return halfDamaged(fresh()) },
	} {
		if err := try(); err == nil || !errors.Is(err, ErrCog) || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func giveFull(w *CogWriter) {
	for i := range w.levels[0].sizes {
		w.SetTile(i%w.levels[0].across, i/w.levels[0].across, 0)
	}
}

func halfForgotten(w *CogWriter) error {
	giveFull(w)
	return w.Write(io.Discard, nil)
}

func halfDamaged(w *CogWriter) error {
	giveFull(w)
	w.SetReduced(0, 0, []byte("no zlib stream"))
	w.SetReduced(1, 0, nil)
	return w.Write(io.Discard, nil)
}

func TestCogRefusesImpossibleSpecs(t *testing.T) {
	g := sampleGrid(t, 10, 10)
	huge := g
	huge.Cols, huge.Rows = 1<<30, 1<<30
	flat := g
	flat.Cell = 0
	for name, spec := range map[string]CogSpec{
		"no cells":         {Overviews: Average},
		"no cell size":     {Grid: flat, Overviews: Average},
		"too many tiles":   {Grid: huge, Overviews: Average},
		"no overviews":     {Grid: g},
		"bilinear":         {Grid: g, Overviews: Bilinear},
		"mode of floats":   {Grid: g, Cells: CogFloats, Overviews: Majority},
		"unknown cells":    {Grid: g, Cells: 9, Overviews: Average},
		"infinite scale":   {Grid: g, Overviews: Average, Scale: math.Inf(1)},
		"code beyond byte": {Grid: g, Overviews: Majority, Classes: []Class{{Value: 256}}},
		"code twice":       {Grid: g, Overviews: Majority, Classes: []Class{{Value: 1}, {Value: 1}}},
		"classes of float": {Grid: g, Cells: CogFloats, Overviews: Average, Classes: []Class{{Value: 1}}},
	} {
		if _, err := NewCog(spec); !errors.Is(err, ErrCog) {
			t.Errorf("%s: %v", name, err)
		}
		if err := WriteAux(io.Discard, spec, nil); !errors.Is(err, ErrCog) {
			t.Errorf("%s beside: %v", name, err)
		}
	}
}

func TestCogIsNeverHalfPublished(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 4))
	s := byteSample(t, rng, 2000, 300, Average)
	w, err := NewCog(s.spec)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	tile := fillCog(t, w, s, rng)
	path := filepath.Join(t.TempDir(), "half.tif")
	err = Publish(path, func(out io.Writer) error {
		return w.Write(out, func(col, row int) ([]byte, error) {
			if col == 7 {
				return nil, errors.New("cut off")
			}
			return tile(col, row)
		})
	})
	if err == nil || !strings.Contains(err.Error(), "column 7, row 0: cut off") {
		t.Error(err)
	}
	if left, _ := os.ReadDir(filepath.Dir(path)); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}
