package layers

import (
	"encoding/json"
	"errors"
	"fmt"
	"image/color"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// python runs a script with GDAL's and numpy's own bindings, an independent way
// to write and read rasters.
func python(t testing.TB, script string, args ...string) string {
	t.Helper()
	out, err := exec.Command("/usr/bin/python3", append([]string{"-c", "import sys, numpy as np\nfrom osgeo import gdal, ogr, osr\ngdal.UseExceptions()\n" + script}, args...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out)
}

// rasterSpec is a raster for GDAL's Python binding to write: the type and the
// cells of its band, and further Python on the dataset d and the band b.
type rasterSpec struct{ Kind, Cells, More string }

// pythonRasters writes rasters, all in one process.
func pythonRasters(t testing.TB, specs ...rasterSpec) (paths []string) {
	t.Helper()
	folder := t.TempDir()
	for i := range specs {
		paths = append(paths, filepath.Join(folder, fmt.Sprintf("%d.tif", i)))
	}
	list, err := json.Marshal(specs)
	if err != nil {
		t.Fatal(err)
	}
	python(t, `
import json
for i, spec in enumerate(json.loads(sys.argv[2])):
    cells = np.array(eval(spec['Cells']))
    d = gdal.GetDriverByName('GTiff').Create('%s/%d.tif' % (sys.argv[1], i), cells.shape[1], cells.shape[0], 1, getattr(gdal, 'GDT_' + spec['Kind']))
    d.SetGeoTransform((100, 10, 0, 200, 0, -10))
    b = d.GetRasterBand(1)
    b.WriteArray(cells)
    exec(spec['More'])
    a = b = d = None
`, folder, string(list))
	return paths
}

func pythonRaster(t testing.TB, kind, cells, more string) string {
	t.Helper()
	return pythonRasters(t, rasterSpec{kind, cells, more})[0]
}

func openTest(t testing.TB, path string) *Raster {
	t.Helper()
	r, err := OpenRaster(path, 1)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = r.Close() })
	return r
}

var unknown = float32(math.NaN())

func sameFloats(a, b []float32) bool {
	return slices.EqualFunc(a, b, func(x, y float32) bool { return x == y || x != x && y != y })
}

// The expected values are the stored ones under value = stored · scale + offset,
// by hand.
func TestRasterValues(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name string
		rasterSpec
		want []float32
	}{
		{"plain", rasterSpec{"Byte", "[[0, 1], [254, 255]]", ""}, []float32{0, 1, 254, 255}},
		{"nodata 0 is not 0", rasterSpec{"Byte", "[[0, 1], [254, 255]]", "b.SetNoDataValue(0)"}, []float32{unknown, 1, 254, 255}},
		{"scale and offset", rasterSpec{"Int16", "[[-9999, 0], [10, -4]]", "b.SetNoDataValue(-9999); b.SetScale(0.5); b.SetOffset(100)"}, []float32{unknown, 100, 105, 98}},
		{"nodata out of range", rasterSpec{"Byte", "[[0, 241], [2, 3]]", "b.SetNoDataValue(-9999)"}, []float32{0, 241, 2, 3}},
		{"float nodata with a double's digits", rasterSpec{"Float32", "[[-3.4028234663852886e38, 1.5], [0, -1]]", "b.SetNoDataValue(-3.4028234663852886e+38)"}, []float32{unknown, 1.5, 0, -1}},
		{"float nodata with few digits", rasterSpec{"Float32", "[[0.1, 1.5], [0, -1]]", "b.SetNoDataValue(0.1)"}, []float32{unknown, 1.5, 0, -1}},
		{"NaN and infinities", rasterSpec{"Float32", "[[float('nan'), float('inf')], [float('-inf'), 7]]", ""}, []float32{unknown, unknown, unknown, 7}},
		{"NaN as nodata", rasterSpec{"Float32", "[[float('nan'), 1], [2, 7]]", "b.SetNoDataValue(float('nan'))"}, []float32{unknown, 1, 2, 7}},
		{"a neighbour that float32 cannot tell", rasterSpec{"Int32", "[[16777217, 16777216], [0, 1]]", "b.SetNoDataValue(16777217)"}, []float32{unknown, 16777216, 0, 1}},
		{"double", rasterSpec{"Float64", "[[1e300, -1.7976931348623157e308], [0.1, 1]]", "b.SetNoDataValue(-1.7976931348623157e308)"}, []float32{unknown, unknown, 0.1, 1}},
		{"mask band", rasterSpec{"Byte", "[[1, 2], [3, 4]]", "d.CreateMaskBand(gdal.GMF_PER_DATASET); b.GetMaskBand().WriteArray(np.array([[255, 0], [255, 255]]))"}, []float32{1, unknown, 3, 4}},
	}
	var specs []rasterSpec
	for _, c := range cases {
		specs = append(specs, c.rasterSpec)
	}
	paths := pythonRasters(t, specs...)
	for i, c := range cases {
		r := openTest(t, paths[i])
		got := make([]float32, 4)
		if err := r.ReadFloat32(0, 0, 2, 2, got); err != nil || !sameFloats(got, c.want) {
			t.Errorf("%s: %v, want %v (%v)", c.name, got, c.want, err)
		}
	}
}

func TestRasterAlpha(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "alpha.tif")
	python(t, `
d = gdal.GetDriverByName('GTiff').Create(sys.argv[1], 2, 1, 2, gdal.GDT_Byte, ['ALPHA=YES'])
d.SetGeoTransform((0, 1, 0, 0, 0, -1))
d.GetRasterBand(1).WriteArray(np.array([[7, 8]]))
d.GetRasterBand(2).WriteArray(np.array([[255, 0]]))
`, path)
	got := make([]float32, 2)
	if err := openTest(t, path).ReadFloat32(0, 0, 2, 1, got); err != nil || !sameFloats(got, []float32{7, unknown}) {
		t.Errorf("%v (%v)", got, err)
	}
}

func TestRasterCodes(t *testing.T) {
	t.Parallel()
	cases := []struct {
		name string
		rasterSpec
		want  []int32
		known []bool
	}{
		{"bytes", rasterSpec{"Byte", "[[0, 1], [254, 255]]", "b.SetNoDataValue(255)"}, []int32{0, 1, 254, 0}, []bool{true, true, true, false}},
		{"scale is not for codes", rasterSpec{"Int16", "[[-1, 1], [2, 3]]", "b.SetScale(0.5)"}, []int32{-1, 1, 2, 3}, []bool{true, true, true, true}},
		{"whole floats", rasterSpec{"Float32", "[[1, float('nan')], [-9999, 3]]", "b.SetNoDataValue(-9999)"}, []int32{1, 0, 0, 3}, []bool{true, false, false, true}},
		{"wide", rasterSpec{"UInt32", "[[4294967295, 1], [2, 2147483647]]", "b.SetNoDataValue(4294967295)"}, []int32{0, 1, 2, math.MaxInt32}, []bool{false, true, true, true}},
	}
	specs := []rasterSpec{
		{"Float64", "[[1, 2], [2.5, 3]]", ""}, {"Float64", "[[1, 2], [3e9, 3]]", ""}, {"Float64", "[[1, 2], [float('inf'), 3]]", ""},
	}
	wrong := len(specs)
	for _, c := range cases {
		specs = append(specs, c.rasterSpec)
	}
	paths := pythonRasters(t, specs...)
	for i, c := range cases {
		r := openTest(t, paths[wrong+i])
		got, known := make([]int32, 4), make([]bool, 4)
		if err := r.ReadInt32(0, 0, 2, 2, got, known); err != nil || !slices.Equal(got, c.want) || !slices.Equal(known, c.known) {
			t.Errorf("%s: %v %v, want %v %v (%v)", c.name, got, known, c.want, c.known, err)
		}
	}
	for i, path := range paths[:wrong] {
		err := openTest(t, path).ReadInt32(0, 0, 2, 2, make([]int32, 4), make([]bool, 4))
		if err == nil || !strings.Contains(err.Error(), "column 0, row 1") {
			t.Errorf("codes of %s: %v", specs[i].Cells, err)
		}
	}
}

func TestRasterSetNodata(t *testing.T) {
	t.Parallel()
	r := openTest(t, pythonRaster(t, "Byte", "[[0, 1], [254, 255]]", "b.SetNoDataValue(0)"))
	r.SetNodata(254)
	values, codes, known := make([]float32, 4), make([]int32, 4), make([]bool, 4)
	if err := r.ReadFloat32(0, 0, 2, 2, values); err != nil || !sameFloats(values, []float32{0, 1, unknown, 255}) {
		t.Errorf("%v (%v)", values, err)
	}
	if err := r.ReadInt32(0, 0, 2, 2, codes, known); err != nil || !slices.Equal(known, []bool{true, true, false, true}) {
		t.Errorf("%v (%v)", known, err)
	}
	if n := r.Info().Nodata; n == nil || *n != 254 {
		t.Errorf("nodata is said to be %v", n)
	}
}

// Real elevations, whole and by windows, against GDAL's own Python binding.
func TestRasterAgainstPython(t *testing.T) {
	t.Parallel()
	path := "../testdata/bei/elev.tif"
	r := openTest(t, path)
	info := r.Info()
	if info.Cols != 201 || info.Rows != 101 || info.Type != "Float32" || !info.CRS.IsLocal() || info.Affine != [6]float64{-2.5, 5, 0, 502.5, 0, -5} {
		t.Fatalf("%+v", info)
	}
	whole := make([]float32, info.Cols*info.Rows)
	if err := r.ReadFloat32(0, 0, info.Cols, info.Rows, whole); err != nil {
		t.Fatal(err)
	}
	theirs := strings.Fields(python(t, "print(*['%.9g' % v for v in gdal.Open(sys.argv[1]).ReadAsArray().ravel()])", path))
	for i, v := range whole {
		if mine := fmt.Sprintf("%.9g", v); mine != theirs[i] {
			t.Fatalf("cell %d: %s, Python reads %s", i, mine, theirs[i])
		}
	}
	random := sourceSeed(t)
	for range 50 {
		w := randomWindow(random, Window{Cols: info.Cols, Rows: info.Rows})
		part := make([]float32, w.Cells())
		if err := r.ReadFloat32(w.Col, w.Row, w.Cols, w.Rows, part); err != nil {
			t.Fatal(err)
		}
		for i, v := range part {
			if v != whole[(w.Row+i/w.Cols)*info.Cols+w.Col+i%w.Cols] {
				t.Fatalf("window %+v, cell %d: %g", w, i, v)
			}
		}
	}
}

// The legend and the counts are those in the README beside the file.
func TestRasterClasses(t *testing.T) {
	r := openTest(t, "../testdata/class-raster/lc.tif")
	info := r.Info()
	names := map[int]Class{}
	for _, c := range info.Classes {
		names[c.Value] = c
	}
	if len(names) != 16 || names[11].Name != "Open Water" || names[42].Name != "Evergreen Forest" {
		t.Errorf("%d classes: %v", len(names), info.Classes)
	}
	if water := names[11].Colour; water != (color.NRGBA{71, 107, 161, 255}) {
		t.Errorf("water is %v", water)
	}
	cells := make([]uint8, info.Cols*info.Rows)
	if err := r.ReadUint8(0, 0, info.Cols, info.Rows, cells); err != nil {
		t.Fatal(err)
	}
	counts := map[uint8]int{}
	for _, c := range cells {
		counts[c]++
	}
	for code, want := range map[uint8]int{0: 2615, 11: 252, 21: 25, 22: 81, 23: 48, 24: 5, 31: 3, 42: 456, 52: 37, 71: 270, 81: 24, 82: 24, 90: 10, 95: 14} {
		if counts[code] != want {
			t.Errorf("%d cells of %d, the README counts %d", counts[code], code, want)
		}
	}
}

func TestRasterLegends(t *testing.T) {
	t.Parallel()
	const table = `
a = gdal.RasterAttributeTable()
a.CreateColumn('%s', gdal.GFT_Integer, %s)
a.CreateColumn('Count', gdal.GFT_Integer, gdal.GFU_PixelCount)
a.CreateColumn('Habitat', gdal.GFT_String, %s)
a.SetRowCount(3)
for i, (v, n) in enumerate([(7, 'heath'), (3, 'bog'), (9, ' ')]):
    a.SetValueAsInt(i, 0, v); a.SetValueAsString(i, 2, n)
b.SetDefaultRAT(a)
`
	const palette = "c = gdal.ColorTable(); c.SetColorEntry(1, (1, 2, 3, 255)); c.SetColorEntry(3, (4, 5, 6, 255)); b.SetColorTable(c)\n"
	grey := color.NRGBA{4, 5, 6, 255}
	cases := []struct {
		name, more string
		want       []Class
	}{
		{"by usage", fmt.Sprintf(table, "Code", "gdal.GFU_MinMax", "gdal.GFU_Name"), []Class{{7, "heath", color.NRGBA{}}, {3, "bog", color.NRGBA{}}}},
		{"by name", fmt.Sprintf(table, "VALUE", "gdal.GFU_Generic", "gdal.GFU_Generic"), []Class{{7, "heath", color.NRGBA{}}, {3, "bog", color.NRGBA{}}}},
		{"with the palette's colours", palette + fmt.Sprintf(table, "Code", "gdal.GFU_MinMax", "gdal.GFU_Name"), []Class{{7, "heath", color.NRGBA{}}, {3, "bog", grey}}},
		{"binned", fmt.Sprintf(table, "x", "gdal.GFU_Generic", "gdal.GFU_Name") + "a.SetLinearBinning(10, 5); b.SetDefaultRAT(a)", []Class{{10, "heath", color.NRGBA{}}, {15, "bog", color.NRGBA{}}}},
		{"category names", palette + "b.SetCategoryNames(['', 'water', '', 'bog'])", []Class{{1, "water", color.NRGBA{1, 2, 3, 255}}, {3, "bog", grey}}},
		{"a palette alone names nothing", palette, nil},
	}
	var specs []rasterSpec
	for _, c := range cases {
		specs = append(specs, rasterSpec{"Byte", "[[1, 3], [7, 9]]", c.more})
	}
	paths := pythonRasters(t, specs...)
	for i, c := range cases {
		got := openTest(t, paths[i]).Info().Classes
		if len(c.want) > 1 && c.name == "with the palette's colours" && len(got) > 0 {
			got[0].Colour = color.NRGBA{} // the palette is filled up beyond its entries
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestRasterDescribed(t *testing.T) {
	t.Parallel()
	r := openTest(t, pythonRaster(t, "Int16", "[[1, 3], [7, 9]]",
		"b.SetUnitType('m'); b.SetDescription('height'); b.SetNoDataValue(-1); b.SetScale(0.1)\ns = osr.SpatialReference(); s.ImportFromEPSG(27700); d.SetProjection(s.ExportToWkt())"))
	i := r.Info()
	if i.Unit != "m" || i.Description != "height" || i.Nodata == nil || *i.Nodata != -1 || i.Scale != 0.1 || i.Offset != 0 ||
		i.CRS.Code() != "EPSG:27700" || i.Type != "Int16" || i.Bands != 1 || i.Affine != [6]float64{100, 10, 0, 200, 0, -10} {
		t.Errorf("%+v", i)
	}
	if l := r.Lattice(); l.CRS != i.CRS || l.Affine != i.Affine {
		t.Errorf("%+v", l)
	}
}

func TestRasterRefusals(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	text := filepath.Join(folder, "text.tif")
	if err := os.WriteFile(text, []byte("no raster"), 0o644); err != nil {
		t.Fatal(err)
	}
	unplaced := filepath.Join(folder, "unplaced.tif")
	python(t, "gdal.GetDriverByName('GTiff').Create(sys.argv[1], 2, 2)", unplaced)
	written := pythonRasters(t, rasterSpec{"CFloat32", "[[1, 2], [3, 4]]", ""}, rasterSpec{"Float32", "[[1, 2], [3, 4]]", ""})
	complex, good := written[0], written[1]
	for _, c := range []struct {
		path string
		band int
		says string
	}{
		{filepath.Join(folder, "missing.tif"), 1, "missing.tif"}, {text, 1, "text.tif"}, {unplaced, 1, "hint:"}, {complex, 1, "CFloat32"},
		{good, 2, "band 2"}, {good, 0, "band 0"}, {good, -1, "band -1"}, {folder, 1, folder},
	} {
		r, err := OpenRaster(c.path, c.band)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s, band %d: %v", c.path, c.band, err)
		}
		if r != nil {
			t.Errorf("%s was opened", c.path)
		}
	}
	var e *SourceError
	if _, err := OpenRaster(text, 1); !errors.As(err, &e) || e.Path != text {
		t.Errorf("no place in %v", err)
	}
	r := openTest(t, good)
	if err := r.ReadUint8(0, 0, 1, 1, make([]uint8, 1)); err == nil {
		t.Error("floats were read as bytes")
	}
	for _, w := range []Window{{Col: -1, Cols: 1, Rows: 1}, {Cols: 3, Rows: 1}, {Row: 1, Cols: 1, Rows: 2}, {Cols: 0, Rows: 1}, {Cols: 2, Rows: 2}, {Col: math.MaxInt, Cols: 1, Rows: 1}} {
		if err := r.ReadFloat32(w.Col, w.Row, w.Cols, w.Rows, make([]float32, 3)); err == nil {
			t.Errorf("%+v was read", w)
		}
		if err := r.ReadInt32(w.Col, w.Row, w.Cols, w.Rows, make([]int32, 9), make([]bool, 3)); err == nil {
			t.Errorf("codes of %+v were read", w)
		}
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	if err := r.Close(); !errors.Is(err, ErrClosed) {
		t.Errorf("a second Close: %v", err)
	}
	if err := r.ReadFloat32(0, 0, 1, 1, make([]float32, 1)); !errors.Is(err, ErrClosed) {
		t.Errorf("a read after Close: %v", err)
	}
}
