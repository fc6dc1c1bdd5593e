package tiles

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

var averholt = orb.Point{3, 56}

func build(t *testing.T, source Source, o Options) string {
	t.Helper()
	folder := t.TempDir()
	if o.Audience == 0 {
		o.Audience = layers.Staff
	}
	if err := Build(context.Background(), source, o, folder); err != nil {
		t.Fatal(err)
	}
	return folder
}

// hashTree is one hash of all names and bytes below a folder.
func hashTree(t *testing.T, folder string) string {
	t.Helper()
	sum := sha256.New()
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(folder, path)
		fmt.Fprintf(sum, "%s %d\n", name, len(data))
		sum.Write(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}

var allFormats = []Format{Folder, PMTiles, MBTiles}

func TestBuildGivesTheSameBytesForAnyNumberOfWorkers(t *testing.T) {
	for _, size := range []int{256, 512} {
		var want string
		for _, workers := range []int{1, 2, 7} {
			source := mercatorField(averholt, 700, 500, 45, rolling)
			folder := build(t, source, Options{Formats: allFormats, Workers: workers, Size: size, MaxZoom: 13, Address: "https://example.org/{z}/{x}/{y}.png"})
			got := hashTree(t, folder)
			if want == "" {
				want = got
			}
			if got != want {
				t.Errorf("%d px, %d workers: other bytes than with one", size, workers)
			}
		}
	}
}

func TestBuildWritesNothingForNobody(t *testing.T) {
	folder := t.TempDir()
	err := Build(context.Background(), mercatorField(averholt, 9, 9, 100, rolling), Options{Formats: allFormats}, folder)
	if !errors.Is(err, layers.ErrNoAudience) {
		t.Errorf("error %v; want ErrNoAudience", err)
	}
	if entries, _ := os.ReadDir(folder); len(entries) > 0 {
		t.Errorf("%v was written", entries)
	}
}

func TestBuildKeepsWhatExists(t *testing.T) {
	source := mercatorField(averholt, 90, 90, 100, rolling)
	o := Options{Audience: layers.Staff, Formats: allFormats}
	folder := build(t, source, o)
	before := hashTree(t, folder)
	if err := Build(context.Background(), source, o, folder); !errors.Is(err, fs.ErrExist) {
		t.Errorf("error %v; want one that says the output exists", err)
	}
	o.Replace = true
	stale := filepath.Join(folder, "adder", "99")
	os.MkdirAll(filepath.Join(stale, "1"), 0o777)
	if err := Build(context.Background(), source, o, folder); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(stale); err == nil {
		t.Error("a tile of the old folder is still there")
	}
	if hashTree(t, folder) != before {
		t.Error("the second build gave other bytes")
	}
}

func TestBuildThatFailsLeavesNothing(t *testing.T) {
	broken := errors.New("disk on fire")
	source := mercatorField(averholt, 900, 900, 100, rolling)
	failing := &failingSource{field: source, err: broken}
	folder := t.TempDir()
	err := Build(context.Background(), failing, Options{Audience: layers.Staff, Formats: allFormats, Workers: 3}, folder)
	if !errors.Is(err, broken) || !strings.Contains(err.Error(), "tile ") {
		t.Errorf("error %q; want one that names the tile and the cause", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	o := Options{Audience: layers.Staff, Formats: allFormats, Progress: func(int, int) { cancel() }}
	if err := Build(ctx, source, o, folder); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v; want context.Canceled", err)
	}
	if entries, _ := os.ReadDir(folder); len(entries) > 0 {
		t.Errorf("%v was left behind", entries)
	}
}

type failingSource struct {
	*field
	err error
}

func (f *failingSource) ReadBytes(w layers.Window, values, standing []byte) error {
	if f.reads.Load() > 5 {
		return f.err
	}
	return f.field.ReadBytes(w, values, standing)
}

func TestBuildRefusesWhatCannotBe(t *testing.T) {
	good := func() *field { return mercatorField(averholt, 90, 90, 100, rolling) }
	cases := []struct {
		words  string
		source *field
		o      Options
	}{
		{"no format", good(), Options{}},
		{"256 or 512", good(), Options{Formats: allFormats, Size: 300}},
		{"beyond the greatest", good(), Options{Formats: allFormats, MinZoom: 9, MaxZoom: 4}},
		{"finest for this audience", good(), Options{Formats: allFormats, MinZoom: 13, MapCell: 1000}},
		{"example.org", good(), Options{Formats: allFormats, Address: "/tiles"}},
		{"nothing to show", mercatorField(averholt, 90, 90, 100, func(int, int) (byte, byte) { return 255, 0 }), Options{Formats: allFormats}},
		{"standing 77 in column", mercatorField(averholt, 90, 90, 100, func(int, int) (byte, byte) { return 1, 77 }), Options{Formats: allFormats}},
		{"Web Mercator", mercatorField(averholt, 0, 90, 100, rolling), Options{Formats: allFormats}},
	}
	odd := good()
	odd.about.ID = "../adder"
	markup := good()
	markup.about.Attribution = "<b>us</b>"
	cases = append(cases, struct {
		words  string
		source *field
		o      Options
	}{"stem", odd, Options{Formats: allFormats}}, struct {
		words  string
		source *field
		o      Options
	}{"markup", markup, Options{Formats: allFormats}})
	for _, c := range cases {
		c.o.Audience = layers.Public
		folder := t.TempDir()
		err := Build(context.Background(), c.source, c.o, folder)
		if err == nil || !strings.Contains(err.Error(), c.words) {
			t.Errorf("error %v; want one with %q", err, c.words)
		}
		if entries, _ := os.ReadDir(folder); len(entries) > 0 {
			t.Errorf("%s: %v was left behind", c.words, entries)
		}
	}
}

// A surface of one cell a pixel must come back cell by cell from the native
// zoom, wherever it lies in the tiles.
func TestNativeTilesShowEveryCell(t *testing.T) {
	const z = 12
	cell := CellSize(z)
	f := mercatorField(averholt, 400, 300, cell, patchy)
	snap := func(v float64) float64 { return float64(int(v/cell)) * cell }
	f.lattice.Affine[0], f.lattice.Affine[3] = snap(f.lattice.Affine[0]+halfSide)-halfSide, halfSide-snap(halfSide-f.lattice.Affine[3])
	palette, err := NewPalette(Steps, suitability.DefaultClasses(), suitability.DefaultClassWords())
	if err != nil {
		t.Fatal(err)
	}
	folder := build(t, f, Options{Formats: []Format{Folder}, MinZoom: z, MaxZoom: z, Palette: palette})
	left := int((f.lattice.Affine[0]+halfSide)/cell + 0.5)
	top := int((halfSide-f.lattice.Affine[3])/cell + 0.5)
	pictures := map[Tile]image.Image{}
	for row := range f.rows {
		for col := range f.cols {
			x, y := left+col, top+row
			tile := Tile{z, x / 256, y / 256}
			if pictures[tile] == nil {
				pictures[tile] = readPNG(t, filepath.Join(folder, "adder", tile.String()+".png"))
			}
			value, standing := patchy(col, row)
			ink := 0
			if p := patterns[standing]; p != nil {
				ink = int(p[y%patternSide] >> (x % patternSide) & 1)
			}
			want := palette.colours[palette.looks[lookOf(suitability.Standing(standing), ink, value)]]
			if got := color.NRGBAModel.Convert(pictures[tile].At(x%256, y%256)); got != want {
				t.Fatalf("cell %d, %d in tile %v: %v, want %v", col, row, tile, got, want)
			}
		}
	}
}

func readPNG(t *testing.T, path string) image.Image {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

func TestMapCellEndsTheZooms(t *testing.T) {
	source := mercatorField(averholt, 900, 900, 45, rolling)
	folder := build(t, source, Options{Audience: layers.Public, Formats: []Format{PMTiles}, MapCell: 250})
	a := openArchive(t, filepath.Join(folder, "adder.pmtiles"))
	_, deepest := a.Zooms()
	if px := groundPixel(deepest, 256, 56.4); px < 250 {
		t.Errorf("zoom %d has pixels of %.0f m", deepest, px)
	}
	if px := groundPixel(deepest+1, 256, 55.6); px >= 250 {
		t.Errorf("zoom %d would have been coarse enough, with %.0f m", deepest+1, px)
	}
}

// TileJSON 3.0.0: tilejson and tiles are required; 0 ≤ minzoom ≤ maxzoom ≤ 30.
func TestTileJSON(t *testing.T) {
	source := mercatorField(averholt, 900, 700, 100, rolling)
	folder := build(t, source, Options{Formats: []Format{Folder}, MinZoom: 3, Address: "https://example.org/adder/{z}/{x}/{y}.png"})
	text, err := os.ReadFile(filepath.Join(folder, "adder.tilejson"))
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		TileJSON string
		Tiles    []string
		MinZoom  *int
		MaxZoom  *int
		Scheme   string
		Bounds   []float64
		Center   []float64
		Vector   any `json:"vector_layers"`
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.TileJSON != "3.0.0" || len(got.Tiles) != 1 || !strings.HasPrefix(got.Tiles[0], "https://") || got.Vector != nil {
		t.Errorf("required keys: %s", text)
	}
	if got.MinZoom == nil || got.MaxZoom == nil || *got.MinZoom != 3 || *got.MaxZoom < 3 || *got.MaxZoom > 30 || got.Scheme != "xyz" {
		t.Errorf("zooms or scheme: %s", text)
	}
	if b := got.Bounds; len(b) != 4 || b[0] >= b[2] || b[1] >= b[3] || b[0] > 3 || b[2] < 3 || b[1] > 56 || b[3] < 56 {
		t.Errorf("bounds: %s", text)
	}
	if len(got.Center) != 3 {
		t.Errorf("center: %s", text)
	}
}
