package layers

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/color"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// cogSample is a raster to be written: bytes or floats, in row order.
type cogSample struct {
	spec   CogSpec
	bytes  []uint8
	floats []float32
}

// sampleGrid is a grid of a given size in UTM zone 17 north.
func sampleGrid(t testing.TB, cols, rows int) Grid {
	t.Helper()
	crs, err := ParseCRS("EPSG:32617")
	if err != nil {
		t.Fatal(err)
	}
	return Grid{CRS: crs, West: 624997.5, North: 1011502.5, Cell: 5, Cols: cols, Rows: rows}
}

// sampleCells are blotchy cells with holes: runs of codes under 200 and of
// nodata, so that tiles compress and 2×2 cells often tie.
func sampleCells(rng *rand.Rand, n int) []uint8 {
	cells := make([]uint8, n)
	code := uint8(0)
	for i := range cells {
		if rng.IntN(3) == 0 {
			code = uint8(rng.IntN(200))
			if rng.IntN(5) == 0 {
				code = 255
			}
		}
		cells[i] = code
	}
	return cells
}

func byteSample(t testing.TB, rng *rand.Rand, cols, rows int, overviews Resample) cogSample {
	spec := CogSpec{Grid: sampleGrid(t, cols, rows), Nodata: 255, Overviews: overviews}
	return cogSample{spec: spec, bytes: sampleCells(rng, cols*rows)}
}

func floatSample(t testing.TB, rng *rand.Rand, cols, rows int) cogSample {
	spec := CogSpec{Grid: sampleGrid(t, cols, rows), Cells: CogFloats, Overviews: Average}
	floats := make([]float32, cols*rows)
	for i, v := range sampleCells(rng, cols*rows) {
		floats[i] = float32(v)/200 + float32(rng.Float64())*1e-3
		if v == 255 {
			floats[i] = float32(math.NaN())
		}
	}
	return cogSample{spec: spec, floats: floats}
}

// halved is the whole sample at half the resolution, by the exported reducers.
func (s cogSample) halved() cogSample {
	g := s.spec.Grid
	h := s
	h.spec.Grid.Cols, h.spec.Grid.Rows = (g.Cols+1)/2, (g.Rows+1)/2
	n := h.spec.Grid.Cols * h.spec.Grid.Rows
	switch {
	case s.floats != nil:
		h.floats = make([]float32, n)
		ReduceAverageFloats(h.floats, s.floats, g.Cols, g.Rows)
	case s.spec.Overviews == Majority:
		h.bytes = make([]uint8, n)
		ReduceMode(h.bytes, s.bytes, g.Cols, g.Rows, s.spec.Nodata)
	default:
		h.bytes = make([]uint8, n)
		ReduceAverage(h.bytes, s.bytes, g.Cols, g.Rows, s.spec.Nodata)
	}
	return h
}

// tile cuts out and compresses one tile.
func (s cogSample) tile(codec *TileCodec, col, row int) []byte {
	g := s.spec.Grid
	if s.floats != nil {
		return codec.EncodeFloats(nil, cut(s.floats, g.Cols, g.Rows, col, row, float32(math.NaN())))
	}
	return codec.EncodeBytes(nil, cut(s.bytes, g.Cols, g.Rows, col, row, s.spec.Nodata))
}

func cut[T any](cells []T, cols, rows, col, row int, nodata T) []T {
	tile := make([]T, tileCells)
	for i := range tile {
		tile[i] = nodata
		if c, r := col*TileSide+i%TileSide, row*TileSide+i/TileSide; c < cols && r < rows {
			tile[i] = cells[r*cols+c]
		}
	}
	return tile
}

// fillCog gives a writer every tile, in an order that the generator picks.
func fillCog(t testing.TB, w *CogWriter, s cogSample, rng *rand.Rand) func(col, row int) ([]byte, error) {
	t.Helper()
	codec := NewTileCodec(s.spec.Cells, s.spec.Nodata)
	tiles := map[[2]int][]byte{}
	across, down := tilesAcross(s.spec.Grid.Cols), tilesAcross(s.spec.Grid.Rows)
	for _, i := range rng.Perm(across * down) {
		tile := s.tile(codec, i%across, i/across)
		tiles[[2]int{i % across, i / across}] = tile
		if err := w.SetTile(i%across, i/across, len(tile)); err != nil {
			t.Fatal(err)
		}
	}
	half := s.halved()
	across, down = tilesAcross(half.spec.Grid.Cols), tilesAcross(half.spec.Grid.Rows)
	for _, i := range rng.Perm(across * down) {
		if err := w.SetReduced(i%across, i/across, half.tile(codec, i%across, i/across)); err != nil {
			t.Fatal(err)
		}
	}
	return func(col, row int) ([]byte, error) { return tiles[[2]int{col, row}], nil }
}

// writeCog publishes a sample under a name of its own.
func writeCog(t testing.TB, folder, name string, s cogSample, stats *Statistics, rng *rand.Rand) string {
	t.Helper()
	w, err := NewCog(s.spec)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	tile := fillCog(t, w, s, rng)
	if stats != nil {
		w.SetStatistics(*stats)
	}
	var out bytes.Buffer
	if err := w.Write(&out, tile); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, name+".tif")
	if err := os.WriteFile(path, out.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// gdalFile is what GDAL's Python binding reports of a file.
type gdalFile struct {
	Warnings, Errors []string // of GDAL's own validator
	Info             struct {
		GeoTransform []float64
		Metadata     map[string]map[string]string
		Bands        []struct {
			NoDataValue any
			Description string
			Unit        string
			Scale       float64
			Offset      float64
			ColorTable  *struct{ Entries [][]int }
			Metadata    map[string]map[string]string
		}
	}
	Code       string // authority:code
	SRS        string
	Palette    [][]int
	Categories []string
	Table      [][]any // the attribute table
	Messages   []string
	Levels     []struct {
		Cols, Rows int
		Path       string // the cells, raw
	}
}

// askGDAL reads files with GDAL's Python binding, an engine that shares no code
// with the writer, and skips the test where it is not installed.
func askGDAL(t testing.TB, paths ...string) []gdalFile {
	t.Helper()
	cmd := exec.Command("/usr/bin/python3", append([]string{"testdata/read_cog.py", t.TempDir()}, paths...)...)
	var out, failed bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &failed
	if err := cmd.Run(); err != nil {
		if cmd.ProcessState != nil && cmd.ProcessState.ExitCode() == 77 {
			t.Skip("GDAL's Python binding is not installed")
		}
		t.Fatalf("%v\n%s", err, failed.String())
	}
	var files []gdalFile
	if err := json.Unmarshal(out.Bytes(), &files); err != nil {
		t.Fatalf("%v in %.300s", err, out.String())
	}
	return files
}

// checkLevels compares every level that GDAL reads with brute force.
func checkLevels(t *testing.T, name string, s cogSample, f gdalFile) {
	t.Helper()
	for i, level := range f.Levels {
		g := s.spec.Grid
		if level.Cols != g.Cols || level.Rows != g.Rows {
			t.Fatalf("%s: level %d is %d by %d, want %d by %d", name, i, level.Cols, level.Rows, g.Cols, g.Rows)
		}
		raw, err := os.ReadFile(level.Path)
		if err != nil {
			t.Fatal(err)
		}
		if want := s.rawBytes(); !bytes.Equal(raw, want) {
			t.Fatalf("%s: level %d differs", name, i)
		}
		if g.Cols <= TileSide && g.Rows <= TileSide && i != len(f.Levels)-1 {
			t.Fatalf("%s: %d levels below %d by %d", name, len(f.Levels)-1-i, g.Cols, g.Rows)
		}
		s = s.slowHalf()
	}
	if last := f.Levels[len(f.Levels)-1]; last.Cols > TileSide || last.Rows > TileSide {
		t.Fatalf("%s: the last level is %d by %d", name, last.Cols, last.Rows)
	}
}

func (s cogSample) rawBytes() []byte {
	if s.floats == nil {
		return s.bytes
	}
	var raw []byte
	for _, v := range s.floats {
		bits := math.Float32bits(v)
		if v != v {
			bits = canonicalNaN
		}
		raw = append(raw, byte(bits), byte(bits>>8), byte(bits>>16), byte(bits>>24))
	}
	return raw
}

func TestCogIsReadByGDAL(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 1)) // seed 7, 1
	folder := t.TempDir()
	sizes := [][2]int{{1, 1}, {255, 257}, {256, 256}, {257, 1}, {5000, 3}, {700, 600}, {1025, 513}}
	var names, paths []string
	var samples []cogSample
	for _, size := range sizes {
		for kind, s := range map[string]cogSample{
			"mean":  byteSample(t, rng, size[0], size[1], Average),
			"mode":  byteSample(t, rng, size[0], size[1], Majority),
			"float": floatSample(t, rng, size[0], size[1]),
		} {
			s.spec.BigTIFF = size[0] == 700
			name := fmt.Sprintf("%s-%dx%d", kind, size[0], size[1])
			names, samples = append(names, name), append(samples, s)
			paths = append(paths, writeCog(t, folder, name, s, nil, rng))
		}
	}
	for i, f := range askGDAL(t, paths...) {
		if len(f.Errors)+len(f.Warnings)+len(f.Messages) > 0 {
			t.Errorf("%s: %v %v %v", names[i], f.Errors, f.Warnings, f.Messages)
		}
		if f.Code != "EPSG:32617" || f.Info.Metadata["IMAGE_STRUCTURE"]["LAYOUT"] != "COG" || f.Info.Metadata[""]["AREA_OR_POINT"] != "Area" {
			t.Errorf("%s: %s %v", names[i], f.Code, f.Info.Metadata)
		}
		checkLevels(t, names[i], samples[i], f)
	}
}

func TestCogSaysWhatItIs(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 2))
	s := byteSample(t, rng, 300, 20, Majority)
	s.spec.Description, s.spec.Unit = `Habitat of "Bufo" <b> & é`, "1"
	s.spec.Scale, s.spec.Offset = 0.005, 0.25
	s.spec.Metadata = map[string]string{"PROFILE_HASH": "ab&12", "LICENCE": "CC-BY-4.0"}
	s.spec.Classes = []Class{
		{Value: 1, Name: "Open water", Colour: color.NRGBA{10, 20, 250, 255}},
		{Value: 4, Name: "Heath & <scrub>", Colour: color.NRGBA{170, 136, 0, 255}},
	}
	stats := Statistics{Count: 5000, Min: 0.25, Max: 1.25, Mean: 0.75, StdDev: 0.1, ValidPercent: 83.25}
	folder := t.TempDir()
	path := writeCog(t, folder, "told", s, &stats, rng)
	f := askGDAL(t, path)[0]
	band := f.Info.Bands[0]
	if band.Description != s.spec.Description || band.Unit != "1" || band.Scale != 0.005 || band.Offset != 0.25 || band.NoDataValue != 255.0 {
		t.Errorf("band %+v", band)
	}
	if f.Info.Metadata[""]["PROFILE_HASH"] != "ab&12" || f.Info.Metadata[""]["LICENCE"] != "CC-BY-4.0" {
		t.Errorf("metadata %v", f.Info.Metadata)
	}
	if got, want := f.Info.GeoTransform, []float64{624997.5, 5, 0, 1011502.5, 0, -5}; fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("transform %v", got)
	}
	// Stored numbers: (value − 0.25) / 0.005.
	for name, want := range map[string]string{"MINIMUM": "0", "MAXIMUM": "200", "MEAN": "100", "STDDEV": "20", "VALID_PERCENT": "83.25"} {
		if got := band.Metadata[""]["STATISTICS_"+name]; got != want {
			t.Errorf("statistics: %s is %s, want %s", name, got, want)
		}
	}
	if got := f.Palette; fmt.Sprint(got[1][:3], got[4][:3]) != "[10 20 250] [170 136 0]" {
		t.Errorf("palette %v", got[:5])
	}
	checkAux(t, path, s.spec, &stats)
}

// checkAux writes the file beside a raster and has GDAL read both.
func checkAux(t *testing.T, path string, spec CogSpec, stats *Statistics) {
	t.Helper()
	var out bytes.Buffer
	if err := WriteAux(&out, spec, stats); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(AuxName(path), out.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	f := askGDAL(t, path)[0]
	if got := fmt.Sprintf("%q", f.Categories); got != `["" "Open water" "" "" "Heath & <scrub>"]` {
		t.Errorf("category names %s", got)
	}
	if got := fmt.Sprint(f.Table); got != "[[Value Name Red Green Blue] [1 Open water 10 20 250] [4 Heath & <scrub> 170 136 0]]" {
		t.Errorf("attribute table %s", got)
	}
	if band := f.Info.Bands[0]; band.Description != spec.Description || band.Metadata[""]["STATISTICS_MEAN"] != "100" {
		t.Errorf("the sidecar changed the band: %+v", band)
	}
	if len(f.Messages) > 0 {
		t.Error(f.Messages)
	}
}

func TestCogKeepsALocalCRS(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 3))
	s := byteSample(t, rng, 10, 12, Average)
	local, err := ParseCRS(`LOCAL_CS["forest plot",UNIT["metre",1],AXIS["Easting",EAST],AXIS["Northing",NORTH]]`)
	if err != nil {
		t.Fatal(err)
	}
	s.spec.Grid.CRS = local
	f := askGDAL(t, writeCog(t, t.TempDir(), "local", s, nil, rng))[0]
	if f.Code != "" || f.SRS != "forest plot, local, metre 1" {
		t.Errorf("%q %q", f.Code, f.SRS)
	}
	checkLevels(t, "local", s, f)
}

func TestCogEmptyTilesAreNodata(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 4))
	some := byteSample(t, rng, 900, 900, Average)
	for i := range some.bytes {
		if i%900 > 300 && i/900 > 200 {
			some.bytes[i] = 255
		}
	}
	none := byteSample(t, rng, 900, 300, Majority)
	for i := range none.bytes {
		none.bytes[i] = 255
	}
	float := floatSample(t, rng, 600, 300)
	for i := range float.floats {
		float.floats[i] = float32(math.NaN())
	}
	folder := t.TempDir()
	samples := []cogSample{some, none, float}
	files := askGDAL(t, writeCog(t, folder, "some", some, nil, rng), writeCog(t, folder, "none", none, nil, rng), writeCog(t, folder, "float", float, nil, rng))
	for i, f := range files {
		if len(f.Errors)+len(f.Warnings) > 0 {
			t.Errorf("file %d: %v %v", i, f.Errors, f.Warnings)
		}
		checkLevels(t, fmt.Sprint("file ", i), samples[i], f)
	}
	if info, err := os.Stat(filepath.Join(folder, "none.tif")); err != nil || info.Size() > 2000 {
		t.Errorf("a file of nodata takes %d bytes (%v)", info.Size(), err)
	}
}

func TestCogValidatorCommand(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 5))
	path := writeCog(t, t.TempDir(), "valid", byteSample(t, rng, 1300, 800, Average), nil, rng)
	out, err := exec.Command("/usr/bin/python3", "-m", "osgeo_utils.samples.validate_cloud_optimized_geotiff", path).CombinedOutput()
	if bytes.Contains(out, []byte("No module named")) {
		t.Skip("GDAL's Python utilities are not installed")
	}
	if err != nil || bytes.Contains(out, []byte("warning")) {
		t.Errorf("%v: %s", err, out)
	}
}
