package suitability

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// The made-up landscape: 13.1 km by 11.07 km at 10 m, neither a multiple of a
// tile nor of a square of 250 m. Classes lie on a grid of their own, heights in
// longitude and latitude with a gap, roads as lines.

func landscapeGrid(t testing.TB) layers.Grid {
	t.Helper()
	crs, err := layers.ParseCRS("EPSG:32617")
	if err != nil {
		t.Fatal(err)
	}
	return layers.Grid{CRS: crs, West: 400000, North: 5000000, Cell: 10, Cols: 1310, Rows: 1107}
}

var landscapeClasses = []layers.Class{{Value: 1, Name: "heath"}, {Value: 2, Name: "wood"}, {Value: 3, Name: "water"}, {Value: 4, Name: "town"}}

// waves are smooth made-up numbers from 0 to 1.
func waves(x, y float64) float64 {
	return 0.5 + 0.25*math.Sin(x/37+math.Sin(y/91)*2) + 0.25*math.Cos(y/53-math.Sin(x/71)*2)
}

// raw writes a raster as plain numbers with a text header (ENVI), which any
// reader knows. Numbers are 1 byte or 4.
func raw(t testing.TB, path string, cols, rows int, cells any, place string) {
	t.Helper()
	kind, ignore := 1, "0"
	if _, floats := cells.([]float32); floats {
		kind, ignore = 4, "-9999"
	}
	header := fmt.Sprintf("ENVI\nsamples = %d\nlines = %d\nbands = 1\nheader offset = 0\nfile type = ENVI Standard\ndata type = %d\n"+
		"interleave = bsq\nbyte order = 0\nmap info = {%s}\ndata ignore value = %s\n", cols, rows, kind, place, ignore)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := binary.Write(f, binary.LittleEndian, cells); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(strings.TrimSuffix(path, ".img")+".hdr", []byte(header), 0o666); err != nil {
		t.Fatal(err)
	}
}

// writeLandscape writes the three sources once for all tests.
var landscapeFolder string
var writeOnce sync.Once

func writeLandscape(t testing.TB) string {
	t.Helper()
	writeOnce.Do(func() {
		folder, err := os.MkdirTemp("", "landscape")
		if err != nil {
			t.Fatal(err)
		}
		landscapeFolder = folder
		writeCover(t, filepath.Join(folder, "cover.img"))
		writeHeights(t, filepath.Join(folder, "elev.img"))
		writeRoads(t, filepath.Join(folder, "roads.geojson"))
	})
	return landscapeFolder
}

func TestMain(m *testing.M) {
	code := m.Run()
	if landscapeFolder != "" {
		os.RemoveAll(landscapeFolder)
	}
	os.Exit(code)
}

// writeCover makes classes on cells of 12 m, over the area and 600 m around it;
// 0 is unknown.
func writeCover(t testing.TB, path string) {
	cols, rows := 1200, 1030
	cells := make([]uint8, cols*rows)
	for i := range cells {
		x, y := float64(i%cols), float64(i/cols)
		cells[i] = uint8(1 + 4*math.Min(0.999, waves(x*1.7, y*1.7)))
		if math.Hypot(x-800, y-300) < 60 || (i*2654435761)>>16%97 == 0 {
			cells[i] = 0
		}
	}
	raw(t, path, cols, rows, cells, "UTM, 1, 1, 399400, 5000600, 12, 12, 17, North, WGS-84, units=Meters")
}

// writeHeights makes heights in degrees that end before the area's east rim.
func writeHeights(t testing.TB, path string) {
	cols, rows := 760, 560
	cells := make([]float32, cols*rows)
	for i := range cells {
		x, y := float64(i%cols), float64(i/cols)
		cells[i] = float32(300*waves(x*0.8, y*0.9) + 5*math.Sin(x*y))
		if math.Hypot(x-300, y-300) < 40 {
			cells[i] = -9999
		}
	}
	raw(t, path, cols, rows, cells, "Geographic Lat/Lon, 1, 1, -82.28, 45.165, 0.0002, 0.00025, WGS-84")
}

func writeRoads(t testing.TB, path string) {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::32617"}},"features":[`)
	for i := range 12 {
		if i > 0 {
			b.WriteByte(',')
		}
		y := 4999500 - 1000*float64(i)
		fmt.Fprintf(&b, `{"type":"Feature","properties":{"vehicles":%d},"geometry":{"type":"LineString","coordinates":[[399000,%g],[%d,%g],[414000,%g]]}}`,
			500*(i+1), y, 403000+517*i, y-700, y+900)
	}
	b.WriteString("]}")
	if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
}

// richJob maps five species that between them use every part of a profile.
func richJob(t testing.TB, grid layers.Grid, values Values, audience layers.Audience) *Job {
	t.Helper()
	folder := writeLandscape(t)
	var opened []*layers.Layer
	for _, spec := range []layers.LayerSpec{
		{Name: "cover", Kind: layers.Classes, Source: filepath.Join(folder, "cover.img"), Resample: layers.Majority, Classes: landscapeClasses},
		{Name: "elev", Kind: layers.Quantity, Source: filepath.Join(folder, "elev.img")},
		{Name: "roads", Kind: layers.Features, Source: filepath.Join(folder, "roads.geojson"), Burn: layers.Burn{Kind: layers.BurnShare, Width: 8}, TrafficField: "vehicles"},
	} {
		l, err := layers.OpenLayer(spec, grid)
		if err != nil {
			t.Fatal(err)
		}
		opened = append(opened, l)
	}
	set := layers.NewSet(grid, opened...)
	t.Cleanup(func() { set.Close() })
	return &Job{
		Project: "Landscape", Grid: grid, Layers: set, Inputs: map[string]string{"cover": "1", "elev": "2", "roads": "3"},
		Subjects: richSubjects(t, grid), Audience: audience, Values: values, Classes: DefaultClasses(), Counted: 2,
		Date: "2026-06-01", Licences: []string{"CC0-1.0"}, Folder: t.TempDir(),
	}
}

func richSubjects(t testing.TB, grid layers.Grid) []Subject {
	share := layers.Share{Layer: "cover", Radius: 120, Weights: map[string]float64{"heath": 1, "wood": 0.3}}
	water := layers.Distance{Layer: "cover", Classes: []string{"water"}, Limit: 300}
	rising := Curve{{0, 0.1}, {0.6, 1}}
	nearTown := 60.0
	return []Subject{
		{ // classes at the cell excluded, every status of range, an edge
			Profile: &Profile{ID: "heathling", Scientific: "Erica nusquam", Rule: Rule{Kind: Arithmetic}, Floor: DefaultFloor, EdgeM: 400,
				Requisites: []Requisite{{ID: "all", Weight: 1, Criteria: []Criterion{
					{ID: "heath", Weight: 2, Measure: share, Rating: rising},
					{ID: "water", Weight: 1, Measure: water, Rating: Curve{{0, 1}, {300, 0.2}}},
					{ID: "height", Weight: 1, Measure: layers.Value{Layer: "elev"}, Rating: Curve{{0, 0}, {150, 1}, {300, 0.3}}},
				}}},
				Exclusions: []Exclusion{{ID: "water", Measure: layers.Value{Layer: "cover"}, Classes: []uint8{2}}}},
			Range: everyStatus(t, grid, 400),
		},
		{ // roads, borders between classes, historic range shown, gaps left out
			Profile: &Profile{ID: "newt", Scientific: "Triturus nusquam", Rule: Rule{Kind: Geometric}, Floor: DefaultFloor, ShowHistoric: true,
				Missing: Missing{Kind: MissingLeaveOut},
				Requisites: []Requisite{
					{ID: "ground", Weight: 0.6, Criteria: []Criterion{{ID: "height", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 80}, Rating: Curve{{0, 0}, {300, 1}}}}},
					{ID: "border", Weight: 0.4, Criteria: []Criterion{{ID: "edge", Weight: 1, Measure: layers.Edge{Layer: "cover", A: []string{"heath"}, B: []string{"wood"}, Radius: 150}, Rating: Curve{{0, 0.2}, {40, 1}}}}},
				},
				Multipliers: []Multiplier{{ID: "roads", Measure: layers.RoadPressure{Layer: "roads", C: 2e-4, Effect: 250}, Rating: PressureCurve(0.4)}}},
			Range: everyStatus(t, grid, 0),
		},
		{ // highly sensitive: squares of 250 m for the public
			Profile: &Profile{ID: "adder", Scientific: "Vipera nusquam", Rule: Rule{Kind: Geometric}, Floor: DefaultFloor, Sensitivity: layers.HighSensitivity, EdgeM: 300,
				Requisites: []Requisite{{ID: "all", Weight: 1, Criteria: []Criterion{
					{ID: "heath", Weight: 1, Measure: share, Rating: rising},
					{ID: "warmth", Weight: 1, Measure: layers.Mean{Layer: "elev", Radius: 60, Kernel: layers.Gaussian}, Rating: Curve{{0, 0}, {300, 1}}},
				}}},
				Exclusions: []Exclusion{{ID: "town", Measure: layers.Distance{Layer: "cover", Classes: []string{"town"}, Limit: 200}, Below: &nearTown}}},
			Range: everyStatus(t, grid, 300),
		},
		{ // no range, the limiting factor, a stated value for gaps
			Profile: &Profile{ID: "moth", Scientific: "Noctua nusquam", Rule: Rule{Kind: Minimum}, Missing: Missing{Kind: MissingStated, Value: 0.3},
				Requisites: []Requisite{
					{ID: "cover", Weight: 1, Criteria: []Criterion{{ID: "class", Weight: 1, Measure: layers.Value{Layer: "cover"}, Rating: Table{1, 0.7, 0, 0.2}}}},
					{ID: "verge", Weight: 1, Criteria: []Criterion{{ID: "verge", Weight: 1, Measure: layers.Share{Layer: "roads", Radius: 50}, Rating: Curve{{0, 0.3}, {0.05, 1}}}}},
				}},
		},
		{ // extremely sensitive: staff only
			Profile: &Profile{ID: "orchid", Scientific: "Orchis nusquam", Rule: Rule{Kind: Arithmetic}, Sensitivity: layers.ExtremeSensitivity,
				Requisites: []Requisite{{ID: "all", Weight: 1, Criteria: []Criterion{{ID: "heath", Weight: 1, Measure: share, Rating: rising}}}}},
		},
	}
}

// everyStatus has polygons of all statuses that overlap, cross the area's rim,
// and leave some of it outside.
func everyStatus(t testing.TB, grid layers.Grid, edge float64) *RangeMap {
	t.Helper()
	box := func(status RangeStatus, west, north, east, south float64) RangePolygon {
		at := func(x, y float64) orb.Point { return orb.Point{grid.West + x, grid.North - y} }
		ring := orb.Ring{at(west, north), at(west, south), at(east-333, south+217), at(east, north-111), at(west, north)}
		return RangePolygon{Species: "any", Status: status, Geometry: orb.MultiPolygon{{ring}}}
	}
	m, err := NewRangeMap([]RangePolygon{
		box(StatusDocumented, 1203, 900, 8011, 9107), box(StatusUncertain, 6000, -500, 14000, 4000), box(StatusHistoric, -500, 5000, 4000, 12000),
		box(StatusIntroduced, 7000, 6000, 10000, 12000), box(StatusVagrant, 9000, 3000, 12000, 8000),
	}, grid, edge)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
