package tiles

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"tussock/layers"
	"tussock/suitability"
)

// utmField lies in UTM zone 31N, as a project would, at 56° N 3° E.
func utmField(t testing.TB, cols, rows int, cell float64, at func(col, row int) (byte, byte)) *field {
	t.Helper()
	crs, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	f := mercatorField(averholt, cols, rows, cell, at)
	f.lattice = layers.Lattice{CRS: crs, Affine: [6]float64{500000 - 7000, cell, 0, 6206080 + 9000, 0, -cell}}
	return f
}

// writeENVI writes the values as a raw raster that GDAL reads.
func writeENVI(t *testing.T, path string, f *field, epsg string) {
	t.Helper()
	values, standing := make([]byte, f.cols*f.rows), make([]byte, f.cols*f.rows)
	if err := f.ReadBytes(layers.Window{Cols: f.cols, Rows: f.rows}, values, standing); err != nil {
		t.Fatal(err)
	}
	header := fmt.Sprintf("ENVI\nsamples = %d\nlines = %d\nbands = 1\nheader offset = 0\nfile type = ENVI Standard\ndata type = 1\ninterleave = bsq\nbyte order = 0\n", f.cols, f.rows)
	if err := os.WriteFile(path+".hdr", []byte(header), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, values, 0o666); err != nil {
		t.Fatal(err)
	}
	a := f.lattice.Affine
	run(t, "", "gdal_translate", "-q", "-a_srs", epsg, "-a_ullr", fmt.Sprint(a[0]), fmt.Sprint(a[3]),
		fmt.Sprint(a[0]+float64(f.cols)*a[1]), fmt.Sprint(a[3]+float64(f.rows)*a[5]), path, path+".tif")
}

// GDAL's warper, nearest neighbour with exact transforms (-et 0), gives the same
// tiles of a busy class raster and of a continuous one, at the native zoom and the
// next: of the pixels that either knows, at least 99.9 in 100 are equal, and one
// that is not has the value of a cell within 0.05 cells of its exact place.
func TestSampledTilesMatchGDAL(t *testing.T) {
	native := nativeZoom(25, 256, 56)
	for name, value := range map[string]func(col, row int) byte{
		"busy classes": func(col, row int) byte { return byte((col*7919 ^ row*104729) >> 3 % 7) },
		"continuous":   func(col, row int) byte { v, _ := rolling(col, row); return v % 201 },
	} {
		f := utmField(t, 600, 500, 25, func(col, row int) (byte, byte) { return value(col, row), byte(suitability.Documented) })
		raw := filepath.Join(t.TempDir(), "field")
		writeENVI(t, raw, f, "EPSG:32631")
		for z, every := range map[int]int{native: 3, native + 1: 11} {
			c := warpComparison{field: f, source: raw + ".tif"}
			c.tiles(t, z, every)
			if c.pixels < 100000 || c.different*1000 > c.pixels || c.wrong > 0 {
				t.Errorf("%s, zoom %d: %d of %d pixels differ from GDAL's, %d of them by more than their place allows", name, z, c.different, c.pixels, c.wrong)
			}
			t.Logf("%s, zoom %d: %d of %d pixels differ", name, z, c.different, c.pixels)
		}
	}
}

// warpComparison counts the pixels in which tiles differ from GDAL's.
type warpComparison struct {
	field                    *field
	source                   string
	pixels, different, wrong int
}

// tiles compares one in so many tiles of a zoom.
func (c *warpComparison) tiles(t *testing.T, z, every int) {
	t.Helper()
	at, err := survey(c.field)
	if err != nil {
		t.Fatal(err)
	}
	samples := newSampler(c.field, DefaultPalette(), 256)
	defer samples.close()
	exact, err := layers.NewTransform(layers.WebMercator(), c.field.lattice.CRS)
	if err != nil {
		t.Fatal(err)
	}
	defer exact.Close()
	got, n := newPixels(256), 0
	for tile := range at.cover(z).within(Tile{}) {
		if n++; n%every != 0 {
			continue
		}
		if err := samples.tile(tile, got); err != nil {
			t.Fatal(err)
		}
		c.compare(t, tile, got, warped(t, c.source, tile), exact)
	}
}

func (c *warpComparison) compare(t *testing.T, tile Tile, got *pixels, want []byte, exact *layers.Transform) {
	t.Helper()
	for i := range want {
		inside := got.standing[i] != nowhere
		if !inside && want[i] == 255 {
			continue
		}
		c.pixels++
		ours := byte(255)
		if inside {
			ours = got.values[i]
		}
		if ours == want[i] {
			continue
		}
		c.different++
		pixel := CellSize(tile.Z)
		xs := []float64{-halfSide + (float64(tile.X*256+i%256)+0.5)*pixel}
		ys := []float64{halfSide - (float64(tile.Y*256+i/256)+0.5)*pixel}
		if err := exact.Points(xs, ys); err != nil {
			t.Fatal(err)
		}
		if !c.isNear(xs[0], ys[0], ours) {
			c.wrong++
		}
	}
}

// isNear tells whether a value is that of a cell within 0.05 cells of a place; 255
// is the value beyond the raster.
func (c *warpComparison) isNear(x, y float64, value byte) bool {
	a := c.field.lattice.Affine
	for _, dx := range []float64{-0.05, 0.05} {
		for _, dy := range []float64{-0.05, 0.05} {
			col, row := int(math.Floor((x-a[0])/a[1]+dx)), int(math.Floor((y-a[3])/a[5]+dy))
			there := byte(255)
			if col >= 0 && row >= 0 && col < c.field.cols && row < c.field.rows {
				there, _ = c.field.at(col, row)
			}
			if there == value {
				return true
			}
		}
	}
	return false
}

// warped is a tile as GDAL makes it; 255 beyond the raster.
func warped(t *testing.T, source string, tile Tile) []byte {
	t.Helper()
	pixel := CellSize(tile.Z)
	west, north := -halfSide+float64(tile.X*256)*pixel, halfSide-float64(tile.Y*256)*pixel
	out := filepath.Join(t.TempDir(), "tile.bin")
	run(t, "", "gdalwarp", "-q", "-t_srs", "EPSG:3857", "-r", "near", "-et", "0", "-dstnodata", "255", "-of", "ENVI",
		"-te", fmt.Sprintf("%.9f", west), fmt.Sprintf("%.9f", north-256*pixel), fmt.Sprintf("%.9f", west+256*pixel), fmt.Sprintf("%.9f", north),
		"-ts", "256", "256", source, out)
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Strips change nothing.
func TestStripsGiveTheSameTile(t *testing.T) {
	f := utmField(t, 600, 500, 25, rolling)
	tile := TileAt(averholt, 12)
	s := newSampler(f, DefaultPalette(), 256)
	defer s.close()
	whole, parts := newPixels(256), newPixels(256)
	if err := s.tile(tile, whole); err != nil {
		t.Fatal(err)
	}
	for top := 0; top < 256; top += 17 {
		if err := s.strip(top, min(top+17, 256), parts); err != nil {
			t.Fatal(err)
		}
	}
	if whole.empty() || string(whole.values) != string(parts.values) || string(whole.standing) != string(parts.standing) {
		t.Error("strips give another tile")
	}
}

func TestBuildOnAProjectGrid(t *testing.T) {
	var want string
	for _, workers := range []int{1, 3} {
		folder := build(t, utmField(t, 600, 500, 25, rolling), Options{Formats: allFormats, Workers: workers})
		got := hashTree(t, folder)
		if want != "" && got != want {
			t.Error("another number of workers gave other bytes")
		}
		want = got
	}
}

func TestALocalGridHasNoTiles(t *testing.T) {
	crs, err := layers.ParseCRS(`LOCAL_CS["plot",UNIT["metre",1]]`)
	if err != nil {
		t.Fatal(err)
	}
	f := utmField(t, 60, 50, 25, rolling)
	f.lattice.CRS = crs
	if _, err := survey(f); err == nil {
		t.Error("a local grid was placed on the Earth")
	}
}
