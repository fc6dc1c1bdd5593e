package gdal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func seeded(t testing.TB) *rand.Rand {
	t.Helper()
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

const (
	noiseCols, noiseRows, noiseTile = 200, 150, 64
	noiseAcross, noiseDown          = 4, 3 // tiles
)

// noise writes a tiled, compressed raster of random cells and returns them.
func noise(t testing.TB, path string) []float32 {
	t.Helper()
	r := seeded(t)
	cells := make([]float32, noiseCols*noiseRows)
	for i := range cells {
		cells[i] = r.Float32()
	}
	d, err := Create(path, noiseCols, noiseRows, Float32, [6]float64{0, 1, 0, 0, 0, -1}, "", "TILED=YES",
		fmt.Sprintf("BLOCKXSIZE=%d", noiseTile), fmt.Sprintf("BLOCKYSIZE=%d", noiseTile), "COMPRESS=DEFLATE")
	if err != nil {
		t.Fatal(err)
	}
	if err := Write(d, Window{0, 0, noiseCols, noiseRows}, cells); err != nil {
		t.Fatal(err)
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	return cells
}

// tiles are the places of a classic TIFF's tiles: tags 324 and 325 of TIFF 6.0,
// section 15.
func tiles(t testing.TB, raw []byte) (offsets, sizes []uint32) {
	t.Helper()
	le := binary.LittleEndian
	at := le.Uint32(raw[4:])
	for i := range uint32(le.Uint16(raw[at:])) {
		entry := raw[at+2+12*i:]
		tag, kind, n, where := le.Uint16(entry), le.Uint16(entry[2:]), le.Uint32(entry[4:]), le.Uint32(entry[8:])
		var values []uint32
		if tag != 324 && tag != 325 {
			continue
		}
		for k := range n {
			if kind == 3 { // SHORT
				values = append(values, uint32(le.Uint16(raw[where+2*k:])))
			} else {
				values = append(values, le.Uint32(raw[where+4*k:]))
			}
		}
		if tag == 324 {
			offsets = values
		} else {
			sizes = values
		}
	}
	if len(offsets) != noiseAcross*noiseDown || len(sizes) != len(offsets) {
		t.Fatalf("%d tile offsets and %d sizes", len(offsets), len(sizes))
	}
	return offsets, sizes
}

// damage writes a copy of a raster in which one tile is spoilt from its first byte
// on. (A flaw further inside shows only where the decoder stumbles: of a tile at
// the rim GDAL decodes no more than it needs and compares no checksum.)
func damage(t testing.TB, raw []byte, path string, tile int) {
	t.Helper()
	offsets, sizes := tiles(t, raw)
	spoilt := append([]byte(nil), raw...)
	start := spoilt[offsets[tile]:][:sizes[tile]/3]
	for i := range start {
		start[i] ^= 0xff
	}
	if err := os.WriteFile(path, spoilt, 0o644); err != nil {
		t.Fatal(err)
	}
}

func readAll(path string) error {
	d, _, err := Open(path, Raster)
	if err != nil {
		return err
	}
	err = Read(d, 1, Window{0, 0, noiseCols, noiseRows}, make([]float32, noiseCols*noiseRows))
	return errors.Join(err, d.Close())
}

func TestDamagedTileIsNamed(t *testing.T) {
	folder := t.TempDir()
	good := filepath.Join(folder, "good.tif")
	cells := noise(t, good)
	raw, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	for tile := range noiseAcross * noiseDown {
		path := filepath.Join(folder, fmt.Sprintf("tile%d.tif", tile))
		damage(t, raw, path, tile)
		var e *Error
		if err := readAll(path); !errors.As(err, &e) {
			t.Fatalf("tile %d: %v", tile, err)
		}
		want := [2]int{tile % noiseAcross, tile / noiseAcross}
		if e.Path != path || e.Band != 1 || e.Block == nil || *e.Block != want || e.Text == "" {
			t.Errorf("tile %d: %+v (%v)", tile, e, e)
		}
		left, top := want[0]*noiseTile, want[1]*noiseTile
		if box := [4]int{left, top, min(noiseTile, noiseCols-left), min(noiseTile, noiseRows-top)}; e.Cells == nil || *e.Cells != box {
			t.Errorf("tile %d: cells %v, want %v", tile, e.Cells, box)
		}
		othersStillRead(t, path, tile, cells)
	}
}

// othersStillRead reads a window of each whole tile of a damaged file.
func othersStillRead(t *testing.T, path string, damaged int, cells []float32) {
	t.Helper()
	d, _, err := Open(path, Raster)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	for tile := range noiseAcross * noiseDown {
		w := Window{tile % noiseAcross * noiseTile, tile / noiseAcross * noiseTile, 5, 4}
		got := make([]float32, 20)
		err := Read(d, 1, w, got)
		if (err != nil) != (tile == damaged) {
			t.Errorf("tile %d is damaged; tile %d: %v", damaged, tile, err)
		}
		for i := range got {
			if want := cells[(w.Row+i/5)*noiseCols+w.Col+i%5]; err == nil && got[i] != want {
				t.Fatalf("tile %d, cell %d: %g, want %g", tile, i, got[i], want)
			}
		}
	}
}

// GDAL keeps errors by thread. Each goroutine must see its own: the file that it
// asked for and the tile that is damaged there.
func TestErrorsBelongToTheirGoroutine(t *testing.T) {
	const goroutines, rounds = 64, 6
	folder := t.TempDir()
	good := filepath.Join(folder, "good.tif")
	noise(t, good)
	raw, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	for g := range goroutines {
		tile := g % (noiseAcross * noiseDown)
		path := filepath.Join(folder, fmt.Sprintf("damaged%d.tif", g))
		damage(t, raw, path, tile)
		wait.Go(func() {
			for round := range rounds {
				missing := filepath.Join(folder, fmt.Sprintf("missing-%d-%d.tif", g, round))
				var e *Error
				if _, _, err := Open(missing, Raster); !errors.As(err, &e) || e.Path != missing || !strings.Contains(e.Text, missing) {
					t.Errorf("asked for %s, told %v", missing, err)
				}
				if err := readAll(path); !errors.As(err, &e) || e.Path != path || e.Block == nil || e.Block[0]+noiseAcross*e.Block[1] != tile {
					t.Errorf("tile %d of %s, told %v", tile, path, err)
				}
				if err := readAll(good); err != nil {
					t.Errorf("the good file: %v", err)
				}
				code := fmt.Sprintf("EPSG:9%d%02d", 10000+g, round)
				if _, err := ParseSRS(code); !errors.As(err, &e) || !strings.Contains(e.Op, code) {
					t.Errorf("asked for %s, told %v", code, err)
				}
			}
		})
	}
	wait.Wait()
}

// A file cut off anywhere gives one typed error or its true cells, never a crash
// and never other cells.
func TestCutAndFlippedFiles(t *testing.T) {
	folder := t.TempDir()
	good := filepath.Join(folder, "good.tif")
	cells := noise(t, good)
	raw, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	r, path := seeded(t), filepath.Join(folder, "bad.tif")
	for try := range 300 {
		bad := append([]byte(nil), raw...)
		if cut := try%2 == 0; cut {
			bad = bad[:r.IntN(len(bad))]
		} else {
			bad[r.IntN(len(bad))] ^= 1 << r.IntN(8)
		}
		if err := os.WriteFile(path, bad, 0o644); err != nil {
			t.Fatal(err)
		}
		got, err := openAndRead(path)
		var e *Error
		switch {
		case err == nil && try%2 == 0 && !equal(got, cells):
			t.Errorf("try %d: cut to %d of %d bytes and other cells without an error", try, len(bad), len(raw))
		case err != nil && !(errors.As(err, &e) && e.Path == path && e.Text != ""):
			t.Errorf("try %d: an error without a place: %v", try, err)
		}
	}
}

func openAndRead(path string) ([]float32, error) {
	d, _, err := Open(path, Raster)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	i, _, err := d.Info(1)
	if err != nil || i.Cols != noiseCols || i.Rows != noiseRows {
		return nil, err
	}
	got := make([]float32, noiseCols*noiseRows)
	return got, Read(d, 1, Window{0, 0, noiseCols, noiseRows}, got)
}

func equal(a, b []float32) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
