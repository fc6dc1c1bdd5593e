package tiles

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// run runs one of the independent programs that make setup installs.
func run(t *testing.T, stdin string, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%v\nhint: make setup installs it", err)
	}
	cmd := exec.Command(path, args...)
	cmd.Stdin = strings.NewReader(stdin)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, stderr.String())
	}
	return string(out)
}

// Read by sqlite3's own shell, against MBTiles 1.3.
func TestMBTilesBySQLite(t *testing.T) {
	source := mercatorField(averholt, 1500, 900, 45, rolling)
	folder := build(t, source, Options{Formats: allFormats})
	path := filepath.Join(folder, "adder.mbtiles")
	ask := func(query string) string { return strings.TrimSpace(run(t, "", "sqlite3", "-readonly", path, query)) }

	if got := ask("PRAGMA application_id"); got != fmt.Sprint(0x4d504258) {
		t.Errorf("application id %s", got)
	}
	if got := ask("PRAGMA integrity_check"); got != "ok" {
		t.Errorf("integrity: %s", got)
	}
	meta := map[string]string{}
	for _, line := range strings.Split(ask("SELECT name, value FROM metadata"), "\n") {
		name, value, _ := strings.Cut(line, "|")
		meta[name] = value
	}
	for name, want := range map[string]string{"name": "Adder: suitability", "format": "png", "type": "overlay", "minzoom": "0",
		"version": "1.2.0", "attribution": "A & B Trust", "description": "a test", "audience": "staff"} {
		if meta[name] != want {
			t.Errorf("%s is %q, want %q", name, meta[name], want)
		}
	}
	var west, south, east, north, lon, lat float64
	var zoom int
	if _, err := fmt.Sscanf(meta["bounds"], "%g,%g,%g,%g", &west, &south, &east, &north); err != nil || west >= 3 || east <= 3 || south >= 56 || north <= 56 {
		t.Errorf("bounds %q, %v", meta["bounds"], err)
	}
	if _, err := fmt.Sscanf(meta["center"], "%g,%g,%d", &lon, &lat, &zoom); err != nil || lon < west || lon > east || lat < south || lat > north {
		t.Errorf("center %q, %v", meta["center"], err)
	}

	files, err := filepath.Glob(filepath.Join(folder, "adder", "*", "*", "*.png"))
	if err != nil || ask("SELECT count(*) FROM tiles") != fmt.Sprint(len(files)) {
		t.Errorf("%s tiles, %d files, %v", ask("SELECT count(*) FROM tiles"), len(files), err)
	}
	for i := 0; i < len(files); i += 7 {
		name, _ := filepath.Rel(filepath.Join(folder, "adder"), strings.TrimSuffix(files[i], ".png"))
		tile, err := ParseTile(filepath.ToSlash(name))
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(files[i])
		if err != nil {
			t.Fatal(err)
		}
		south := 1<<tile.Z - 1 - tile.Y // rows of the Tile Map Service run northwards
		got := ask(fmt.Sprintf("SELECT hex(tile_data) FROM tiles WHERE zoom_level=%d AND tile_column=%d AND tile_row=%d", tile.Z, tile.X, south))
		if !strings.EqualFold(got, fmt.Sprintf("%x", want)) {
			t.Errorf("tile %v differs from the folder's", tile)
		}
	}
}

// Read by GDAL's MBTiles driver: same place, same pixels as the folder's tiles.
func TestMBTilesByGDAL(t *testing.T) {
	source := mercatorField(averholt, 700, 500, 45, rolling)
	folder := build(t, source, Options{Formats: allFormats})
	out := run(t, readByGDAL, "/usr/bin/python3", "-", filepath.Join(folder, "adder.mbtiles"), filepath.Join(folder, "adder"))
	if !strings.HasPrefix(out, "same ") {
		t.Error(out)
	}
}

// readByGDAL compares the deepest zoom of an MBTiles archive, as GDAL's driver
// places and reads it, with the folder's tiles, as GDAL's PNG driver reads them.
const readByGDAL = `
import glob, os, sys
import numpy
from osgeo import gdal
gdal.UseExceptions()
archive, folder = sys.argv[1:]
ds = gdal.OpenEx(archive, open_options=["USE_BOUNDS=NO"])
gt = ds.GetGeoTransform()
zoom = max(int(os.path.basename(d)) for d in glob.glob(folder + "/*"))
cell = 2 * 20037508.342789244 / 256 / 2 ** zoom
assert abs(gt[1] - cell) < 1e-6 * cell, (gt, cell)
tiles = 0
for path in glob.glob(f"{folder}/{zoom}/*/*.png"):
    x, y = int(path.split("/")[-2]), int(path.split("/")[-1][:-4])
    col = round((x * 256 * cell - 20037508.342789244 - gt[0]) / cell)
    row = round((gt[3] - 20037508.342789244) / cell + y * 256)
    if col < 0 or row < 0 or col + 256 > ds.RasterXSize or row + 256 > ds.RasterYSize:
        continue
    got = ds.ReadAsArray(col, row, 256, 256)
    png = gdal.Open(path)
    colours = png.GetRasterBand(1).GetColorTable()
    table = numpy.array([colours.GetColorEntry(i) for i in range(colours.GetCount())], dtype=numpy.uint8)
    want = table[png.ReadAsArray()].transpose(2, 0, 1)
    clear = want[3] == 0
    assert (got[3] == want[3]).all(), path
    assert ((got == want) | clear).all(), path
    tiles += 1
assert tiles > 3, tiles
print("same", tiles)
`
