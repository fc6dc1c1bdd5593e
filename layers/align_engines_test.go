package layers

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
)

const (
	puertoRico = "../testdata/class-raster/lc.tif"      // its README names the source
	plotHeight = "../testdata/bei/utm_nominal/elev.tif" // likewise
	nothing    = float32(-32768)                        // unknown in the other engine's files
)

// gdalProgram runs one of GDAL's own programs.
func gdalProgram(t testing.TB, name string, arguments ...string) {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed (Debian: gdal-bin)", name)
	}
	if out, err := exec.Command(path, arguments...).CombinedOutput(); err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(arguments, " "), err, out)
	}
}

// gridArguments tell GDAL's programs where a grid lies.
func gridArguments(g Grid) []string {
	b := g.Bound(g.Window())
	number := func(v float64) string { return fmt.Sprintf("%.17g", v) }
	return []string{"-te", number(b.Min[0]), number(b.Min[1]), number(b.Max[0]), number(b.Max[1]), "-ts", fmt.Sprint(g.Cols), fmt.Sprint(g.Rows)}
}

// rawFloats are the cells of a file of GDAL's ENVI driver: little endian float32.
func rawFloats(t *testing.T, path string, cells int) []float32 {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil || len(raw) != 4*cells {
		t.Fatalf("%s: %d bytes for %d cells, %v", path, len(raw), cells, err)
	}
	values := make([]float32, cells)
	for i := range values {
		values[i] = math.Float32frombits(binary.LittleEndian.Uint32(raw[4*i:]))
	}
	return values
}

// warped is a raster brought to a grid by gdalwarp with exact transforms.
func warped(t *testing.T, source string, g Grid, how string, more ...string) []float32 {
	t.Helper()
	to := filepath.Join(t.TempDir(), "warped.img")
	arguments := append([]string{"-q", "-et", "0", "-r", how, "-ot", "Float32", "-of", "ENVI", "-dstnodata", fmt.Sprint(nothing), "-t_srs", g.CRS.WKT()}, gridArguments(g)...)
	gdalProgram(t, "gdalwarp", append(append(arguments, more...), source, to)...)
	return rawFloats(t, to, g.Cols*g.Rows)
}

func parsed(t testing.TB, text string) CRS {
	t.Helper()
	crs, err := ParseCRS(text)
	if err != nil {
		t.Fatal(err)
	}
	return crs
}

func gridOver(t testing.TB, crs CRS, cell float64, xmin, ymin, xmax, ymax float64) Grid {
	t.Helper()
	g, err := NewGrid(crs, orb.Bound{Min: orb.Point{xmin, ymin}, Max: orb.Point{xmax, ymax}}, cell)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func openedSet(t testing.TB, g Grid, specs ...LayerSpec) *Set {
	t.Helper()
	var list []*Layer
	for _, spec := range specs {
		l, err := OpenLayer(spec, g)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, l)
	}
	s := NewSet(g, list...)
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func readWhole(t testing.TB, s *Set, layer string) Block {
	t.Helper()
	b, err := s.Read(layer, s.Grid().Window())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// cover is a layer of the Puerto Rico raster: 0, which that file leaves
// unnamed, is land outside the classification.
func cover(how Resample) LayerSpec {
	return LayerSpec{Name: "cover", Kind: Classes, Source: puertoRico, Resample: how, Classes: []Class{{Value: 0, Name: "Unclassified"}}}
}

// Nearest across two projections against gdalwarp -et 0. A cell may differ only
// where the exact place of its centre lies within the net's tolerance of an edge
// between two source cells, and then it must hold one of the cells at that edge.
func TestNearestAgainstGdalwarp(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		crs                    string
		cell                   float64
		west, south, east, top float64
	}{
		{"EPSG:32619", 700, 640000, 1900000, 920000, 2130000},
		{"EPSG:32620", 450, 10000, 1900000, 330000, 2130000},
		{"EPSG:3857", 900, -7520000, 1930000, -7220000, 2190000},
	} {
		g := gridOver(t, parsed(t, c.crs), c.cell, c.west, c.south, c.east, c.top)
		s := openedSet(t, g, cover(Nearest))
		layer, _ := s.Layer("cover")
		got, want := readWhole(t, s, "cover"), warped(t, puertoRico, g, "near")
		raster, err := OpenRaster(puertoRico, 1)
		if err != nil {
			t.Fatal(err)
		}
		exact, err := NewTransform(g.CRS, raster.Info().CRS)
		if err != nil {
			t.Fatal(err)
		}
		known, ties := 0, 0
		for k, code := range got.Codes {
			value := nothing
			if code != NoClass {
				value = float32(layer.Classes[code].Value)
				known++
			}
			if value == want[k] {
				continue
			}
			ties++
			at := g.Centre(k%g.Cols, k/g.Cols)
			xs, ys := []float64{at[0]}, []float64{at[1]}
			if err := exact.Points(xs, ys); err != nil {
				t.Fatal(err)
			}
			a := raster.Info().Affine
			x, y := (xs[0]-a[0])/a[1], (ys[0]-a[3])/a[5]
			if off := min(math.Abs(x-math.Round(x)), math.Abs(y-math.Round(y))); off > alignTolerance {
				t.Fatalf("%s: cell %d holds %v, gdalwarp %v, at source %v, %v: no tie", c.crs, k, value, want[k], x, y)
			}
		}
		t.Logf("%s: %d cells, %d known, %d ties", c.crs, len(want), known, ties)
		if known < 20000 || ties > len(want)/200 {
			t.Errorf("%s: %d known, %d ties of %d", c.crs, known, ties, len(want))
		}
		exact.Close()
		raster.Close()
	}
}

// Average and majority at a whole ratio in one CRS against gdalwarp -r average
// and -r mode.
func TestAreaAgainstGdalwarp(t *testing.T) {
	t.Parallel()
	crs := parsed(t, "EPSG:32617")
	g := gridOver(t, crs, 20, 624997.5, 1011002.5, 625997.5, 1011502.5)
	s := openedSet(t, g, LayerSpec{Name: "height", Kind: Quantity, Source: plotHeight, Resample: Average})
	got, want := readWhole(t, s, "height"), warped(t, plotHeight, g, "average")
	known := 0
	for k, v := range got.Values {
		if math.IsNaN(float64(v)) {
			v = nothing
		} else {
			known++
		}
		if math.Abs(float64(v-want[k])) > 1e-6*math.Abs(float64(want[k])) {
			t.Fatalf("cell %d: average %v, gdalwarp %v", k, v, want[k])
		}
	}
	if known < 1000 {
		t.Errorf("only %d known cells", known)
	}
	majorityAgainstGdalwarp(t)
}

// majorityAgainstGdalwarp holds blocks of 3 × 3 source cells; where the two
// differ both classes must be equally common, and ours the lower.
func majorityAgainstGdalwarp(t *testing.T) {
	raster, err := OpenRaster(puertoRico, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer raster.Close()
	info := raster.Info()
	g := Grid{CRS: info.CRS, West: info.Affine[0], North: info.Affine[3], Cell: 3 * info.Affine[1], Cols: info.Cols / 3, Rows: info.Rows / 3}
	s := openedSet(t, g, cover(Majority))
	layer, _ := s.Layer("cover")
	got, want := readWhole(t, s, "cover"), warped(t, puertoRico, g, "mode")
	source := make([]uint8, info.Cols*info.Rows)
	if err := raster.ReadUint8(0, 0, info.Cols, info.Rows, source); err != nil {
		t.Fatal(err)
	}
	ties := 0
	for k, code := range got.Codes {
		value := layer.Classes[code].Value
		if float32(value) == want[k] {
			continue
		}
		ties++
		count := map[int]int{}
		for n := range 9 {
			count[int(source[(k/g.Cols*3+n/3)*info.Cols+k%g.Cols*3+n%3])]++
		}
		if count[value] != count[int(want[k])] || value > int(want[k]) {
			t.Fatalf("cell %d: %d, gdalwarp %v, counts %v: no tie", k, value, want[k], count)
		}
	}
	t.Logf("majority: %d cells, %d ties", len(want), ties)
}

// Bilinear in one CRS against gdalwarp, and through a net against the exact
// transform that gdalwarp makes.
func TestBilinearAgainstGdalwarp(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		grid      Grid
		tolerance float64
	}{
		{gridOver(t, parsed(t, "EPSG:32617"), 3, 625010.2, 1011010.7, 625990, 1011490), 1e-4},
		// A fiftieth of a cell on the plot's steepest slope, 1 m in 2 m or so.
		{gridOver(t, parsed(t, "EPSG:32616"), 3, 1286100, 1018600, 1287200, 1019150), 0.05},
	} {
		s := openedSet(t, c.grid, LayerSpec{Name: "height", Kind: Quantity, Source: plotHeight})
		got, want := readWhole(t, s, "height"), warped(t, plotHeight, c.grid, "bilinear")
		known, rim := 0, 0
		for k, v := range got.Values {
			switch here, there := v == v, want[k] != nothing; {
			case here != there:
				rim++ // the two end half a source cell apart
			case here && math.Abs(float64(v-want[k])) > c.tolerance:
				t.Fatalf("%s: cell %d: %v, gdalwarp %v", c.grid.CRS.Code(), k, v, want[k])
			case here:
				known++
			}
		}
		t.Logf("%s: %d cells compared, %d at the rim, of %d", c.grid.CRS.Code(), known, rim, len(want))
		if known < 20000 || rim > known/50 {
			t.Errorf("%s: %d cells compared, %d at the rim", c.grid.CRS.Code(), known, rim)
		}
	}
}

// featureFile writes features with the attributes n and kind to a GeoPackage.
func featureFile(t testing.TB, code string, list []orb.Geometry, kind func(i int) string) string {
	t.Helper()
	text := "wkt,n,kind\n"
	for i, g := range list {
		word := ""
		if kind != nil {
			word = kind(i)
		}
		text += fmt.Sprintf("%q,%d,%s\n", wkt.MarshalString(g), i, word)
	}
	folder := t.TempDir()
	from, to := filepath.Join(folder, "features.csv"), filepath.Join(folder, "features.gpkg")
	if err := os.WriteFile(from, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	gdalProgram(t, "ogr2ogr", "-f", "GPKG", to, from, "-a_srs", code, "-oo", "GEOM_POSSIBLE_NAMES=wkt", "-oo", "KEEP_GEOM_COLUMNS=NO", "-lco", "SPATIAL_INDEX=NO")
	return to
}

var meadow = struct{ west, south, side float64 }{625000, 1011000, 600}

func meadowGrid(t testing.TB) Grid {
	return gridOver(t, parsed(t, "EPSG:32617"), 10, meadow.west, meadow.south, meadow.west+meadow.side, meadow.south+meadow.side)
}

// meadowFeatures are stars and lines in UTM metres.
func meadowFeatures(r *rand.Rand, stars, lines int) []orb.Geometry {
	at := func() orb.Point {
		return orb.Point{meadow.west + meadow.side*(1.2*r.Float64()-0.1), meadow.south + meadow.side*(1.2*r.Float64()-0.1)}
	}
	var list []orb.Geometry
	for range stars {
		list = append(list, star(r, at(), 10+90*r.Float64()))
	}
	for range lines {
		list = append(list, orb.LineString{at(), at(), at()})
	}
	return list
}

// rasterised is a file burned by gdal_rasterize.
func rasterised(t *testing.T, source string, g Grid, more ...string) []float32 {
	t.Helper()
	to := filepath.Join(t.TempDir(), "burned.img")
	arguments := append([]string{"-q", "-burn", "1", "-init", "0", "-ot", "Float32", "-of", "ENVI"}, gridArguments(g)...)
	gdalProgram(t, "gdal_rasterize", append(append(arguments, more...), source, to)...)
	return rawFloats(t, to, g.Cols*g.Rows)
}

// Centre and touch against gdal_rasterize without and with -at. The places are
// random, so no vertex or edge meets a centre or an edge of a cell exactly.
func TestBurnAgainstGdalRasterize(t *testing.T) {
	t.Parallel()
	r := alignSeed(t)
	g := meadowGrid(t)
	for _, c := range []struct {
		name         string
		stars, lines int
		kind         BurnKind
		more         []string
	}{
		{"centre", 40, 0, BurnCentre, nil},
		{"touch", 12, 0, BurnTouch, []string{"-at"}},
		{"lines", 0, 12, BurnTouch, []string{"-at"}},
	} {
		path := featureFile(t, "EPSG:32617", meadowFeatures(r, c.stars, c.lines), nil)
		s := openedSet(t, g, LayerSpec{Name: "f", Kind: Features, Source: path, Burn: Burn{Kind: c.kind}})
		got, want := readWhole(t, s, "f"), rasterised(t, path, g, c.more...)
		ones := 0
		for k, v := range got.Values {
			if v != want[k] {
				t.Fatalf("%s: cell %d, %d: %v, gdal_rasterize %v", c.name, k%g.Cols, k/g.Cols, v, want[k])
			}
			ones += int(v)
		}
		if ones == 0 || ones == len(want) {
			t.Errorf("%s: %d of %d cells burned", c.name, ones, len(want))
		}
	}
}

// geosShares asks GEOS, through OGR, for the share of each cell under the union
// of all features.
const geosShares = `
import json, sys
from osgeo import ogr
ogr.UseExceptions()
path, west, north, cell, cols, rows = sys.argv[1], *map(float, sys.argv[2:5]), int(sys.argv[5]), int(sys.argv[6])
source = ogr.Open(path)
whole = ogr.Geometry(ogr.wkbMultiPolygon)
for f in source.GetLayer(0):
    g = f.GetGeometryRef()
    if g.GetGeometryType() in (ogr.wkbPolygon, ogr.wkbMultiPolygon):
        whole = whole.Union(g)
shares = []
for r in range(rows):
    for c in range(cols):
        x, y = west + c*cell, north - r*cell
        box = ogr.CreateGeometryFromWkt('POLYGON((%r %r,%r %r,%r %r,%r %r,%r %r))' % (x, y-cell, x+cell, y-cell, x+cell, y, x, y, x, y-cell))
        part = whole.Intersection(box)
        shares.append(part.Area()/(cell*cell) if part is not None else 0)
json.dump(shares, sys.stdout)
`

// Shares of overlapping polygons against GEOS.
func TestBurnShareAgainstGEOS(t *testing.T) {
	t.Parallel()
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "from osgeo import ogr").Run(); err != nil {
		t.Skip("python3-gdal is not installed")
	}
	r := alignSeed(t)
	g := meadowGrid(t)
	path := featureFile(t, "EPSG:32617", meadowFeatures(r, 30, 0), nil)
	s := openedSet(t, g, LayerSpec{Name: "f", Kind: Features, Source: path, Burn: Burn{Kind: BurnShare}})
	got := readWhole(t, s, "f")
	command := exec.Command(python, "-c", geosShares, path, fmt.Sprint(g.West), fmt.Sprint(g.North), fmt.Sprint(g.Cell), fmt.Sprint(g.Cols), fmt.Sprint(g.Rows))
	command.Stderr = os.Stderr
	out, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	var want []float64
	if err := json.Unmarshal(out, &want); err != nil {
		t.Fatal(err)
	}
	for k, v := range got.Values {
		if math.Abs(float64(v)-want[k]) > 1e-6 {
			t.Fatalf("cell %d, %d: share %v, GEOS %v", k%g.Cols, k/g.Cols, v, want[k])
		}
	}
}
