package tiles

import (
	"fmt"
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
// tile. Where the place of a pixel is within the net's tolerance of the edge of
// a cell, the neighbouring cell may be taken: at a tolerance of 0.02 cells
// never in more than a few pixels of a hundred, in fact far fewer.
func TestSampledTilesMatchGDAL(t *testing.T) {
	f := utmField(t, 600, 500, 25, func(col, row int) (byte, byte) {
		v, _ := patchy(col, row)
		return v % 201, byte(suitability.Documented)
	})
	folder := t.TempDir()
	raw := filepath.Join(folder, "field")
	writeENVI(t, raw, f, "EPSG:32631")
	at, err := survey(f)
	if err != nil {
		t.Fatal(err)
	}
	z := nativeZoom(25, 256, 56)
	samples := newSampler(f, DefaultPalette(), 256)
	defer samples.close()
	got := newPixels(256)
	pixels, different, tiles := 0, 0, 0
	for tile := range at.cover(z).within(Tile{}) {
		if tiles++; tiles%3 != 0 {
			continue
		}
		if err := samples.tile(tile, got); err != nil {
			t.Fatal(err)
		}
		want := warped(t, raw+".tif", tile)
		for i := range want {
			inside := got.standing[i] != nowhere
			if inside {
				pixels++
			}
			if inside != (want[i] != 255) || inside && got.values[i] != want[i] {
				different++
			}
		}
	}
	if pixels < 100000 || different > pixels/500 {
		t.Errorf("%d of %d pixels differ from GDAL's", different, pixels)
	}
	t.Logf("%d of %d pixels differ", different, pixels)
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
