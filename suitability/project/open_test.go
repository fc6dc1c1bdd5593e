package project

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// TestOpenBei opens the project of the real trees and looks at one cell: the
// model is worked by hand from the cell's own elevation and gradient.
func TestOpenBei(t *testing.T) {
	o, err := Open(context.Background(), "testdata/valid/bei.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	if o.Grid.Cols != 201 || o.Grid.Rows != 101 || o.Grid.Cell != 5 {
		t.Errorf("the grid is %d by %d cells of %g m", o.Grid.Cols, o.Grid.Rows, o.Grid.Cell)
	}
	if len(o.Subjects) != 1 || o.Subjects[0].Profile.ID != "fernleaf" {
		t.Fatalf("subjects %+v", o.Subjects)
	}
	if n := len(o.Subjects[0].Profile.Measures()); n != 2 {
		t.Errorf("%d measures", n)
	}
	if len(o.Inputs["elev"]) != 64 || o.Inputs["elev"] == o.Inputs["grad"] {
		t.Errorf("inputs %v", o.Inputs)
	}
	if o.Output.Counted != 2 || len(o.Licences) != 1 || len(o.Records) != 1 {
		t.Errorf("output %+v, licences %v, records %v", o.Output, o.Licences, o.Records)
	}
}

func TestOpenTakesTheGridOfALayer(t *testing.T) {
	o, err := Open(context.Background(), "testdata/valid/like.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	if o.Grid.West != -2.5 || o.Grid.North != 502.5 || o.Grid.Cols != 201 || o.Grid.Rows != 101 || !o.Grid.CRS.IsLocal() {
		t.Errorf("the grid is %+v", o.Grid)
	}
}

func TestOpenFindsTheStaticMistakesToo(t *testing.T) {
	t.Parallel()
	for _, file := range samples(t, "testdata/wrong/*.yaml") {
		o, err := Open(context.Background(), file)
		var problems Problems
		if o != nil || !errors.As(err, &problems) {
			t.Errorf("%s: %v", file, err)
			continue
		}
		_, static := Load(file)
		if len(problems) < len(static.(Problems)) {
			t.Errorf("%s: %d problems with layers, %d without", file, len(problems), len(static.(Problems)))
		}
	}
}

// TestMistakesThatLayersShow holds what a person reads when only an open layer
// can tell that something is wrong.
func TestMistakesThatLayersShow(t *testing.T) {
	for _, file := range samples(t, "testdata/opened/*.yaml") {
		o, err := Open(context.Background(), file)
		if o != nil || err == nil {
			t.Errorf("%s: no mistake was found", file)
			continue
		}
		golden(t, strings.TrimSuffix(file, ".yaml")+".golden", filepath.ToSlash(err.Error())+"\n")
	}
}

// openText opens a project given as text, in a folder of its own.
func openText(t *testing.T, text string) *Opened {
	t.Helper()
	file := filepath.Join(t.TempDir(), FileName)
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	o, err := Open(context.Background(), file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { o.Close() })
	return o
}

const oneSpecies = `
species:
  - id: a
    requisites:
      - {id: r, criteria: [{id: c, measure: value, layer: l, curve: [[0, 0], [1, 1]], source: S}]}
`

// Web Mercator's point scale is about 1/cos(latitude) (Snyder 1987, equation
// 7-5): at 54° N distances are 70 % too long. UTM's is 0.9996 on its central
// meridian (Snyder, chapter 8), which is within 0.1 %.
func TestScaleWarning(t *testing.T) {
	folder := t.TempDir()
	grid := "ncols 2\nnrows 2\nxllcorner 0\nyllcorner 0\ncellsize 1\n1 2\n3 4\n"
	if err := os.WriteFile(filepath.Join(folder, "l.asc"), []byte(grid), 0o644); err != nil {
		t.Fatal(err)
	}
	prj := `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`
	if err := os.WriteFile(filepath.Join(folder, "l.prj"), []byte(prj), 0o644); err != nil {
		t.Fatal(err)
	}
	area := "area:\n  name: a\n  date: 2026-01-01\n  grid: {crs: CRS, cell: 1000, extent: EXTENT}\nlayers:\n  l: {source: \"" + filepath.ToSlash(filepath.Join(folder, "l.asc")) + "\", kind: quantity}\n"
	for crs, c := range map[string]struct{ extent, want string }{
		"EPSG:3857":  {"[-334000, 7170000, -333000, 7171000]", "70."},
		"EPSG:32631": {"[500000, 0, 501000, 1000]", ""},
	} {
		text := strings.NewReplacer("CRS", crs, "EXTENT", c.extent).Replace(area) + oneSpecies
		o := openText(t, text)
		said := ""
		for _, w := range o.Warnings {
			said += w.Error()
		}
		if c.want == "" && said != "" || !strings.Contains(said, c.want) {
			t.Errorf("%s: %q; want %q", crs, said, c.want)
		}
	}
}

func TestValuesWithoutSourceAreWarnedOf(t *testing.T) {
	p, err := Load("testdata/valid/like.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Warnings) != 1 || p.Warnings[0].Path != "species[0].requisites[0].criteria[0]" {
		t.Errorf("warnings %v", p.Warnings)
	}
	p, err = Load("testdata/valid/bei.yaml")
	if err != nil || len(p.Warnings) != 0 {
		t.Errorf("an assumption is a source: %v, %v", p.Warnings, err)
	}
}

// TestRoughDatumShiftIsWarnedOf lays a layer in NAD27 on a WGS 84 grid in
// Florida. The best shift without grids of corrections is one for the whole
// state or more, of several metres (EPSG dataset).
func TestRoughDatumShiftIsWarnedOf(t *testing.T) {
	source, err := filepath.Abs("../../testdata/bei/elev.tif")
	if err != nil {
		t.Fatal(err)
	}
	vrt := `<VRTDataset rasterXSize="201" rasterYSize="101"><SRS>EPSG:26717</SRS><GeoTransform>500000, 5, 0, 3100000, 0, -5</GeoTransform>
		<VRTRasterBand dataType="Float32" band="1"><SimpleSource><SourceFilename>` + filepath.ToSlash(source) + `</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand></VRTDataset>`
	file := filepath.Join(t.TempDir(), "l.vrt")
	if err := os.WriteFile(file, []byte(vrt), 0o644); err != nil {
		t.Fatal(err)
	}
	o := openText(t, "area: {name: a, date: 2026-01-01, grid: {crs: EPSG:32617, cell: 5, extent: [500000, 3099000, 501000, 3100000]}}\n"+
		"layers:\n  l: {source: \""+filepath.ToSlash(file)+"\", kind: quantity}\n"+oneSpecies)
	if len(o.Warnings) != 1 || o.Warnings[0].Path != "layers.l.source" || !strings.Contains(o.Warnings[0].Message, "shift") {
		t.Errorf("warnings %v", o.Warnings)
	}
}

// TestOpenJoinsRangesToSpecies opens the shipped project, whose range is the
// plot's window, 0 to 1000 by 0 to 500 m.
func TestOpenJoinsRangesToSpecies(t *testing.T) {
	o, err := Open(context.Background(), "../../testdata/bei")
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	r := o.Subjects[0].Range
	col, row := o.Grid.CellAt(orb.Point{500, 250})
	middle := r.Block(layers.Window{Col: col, Row: row, Cols: 1, Rows: 1}).Code(col, row)
	if got := suitability.Standing(middle); got != suitability.Documented {
		t.Errorf("the middle is %v", got)
	}
	far := layers.Window{Col: -100, Row: -100, Cols: 1, Rows: 1}
	if got := suitability.Standing(r.Block(far).Code(-100, -100)); got != suitability.Outside {
		t.Errorf("500 m beyond the corner is %v", got)
	}
}

func TestShippedProjectsOpen(t *testing.T) {
	for _, folder := range []string{"../../testdata/bei", "../../testdata/bei/utm_nominal"} {
		o, err := Open(context.Background(), folder)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		if err := o.Close(); err != nil {
			t.Errorf("%s: %v", folder, err)
		}
	}
}

// TestInputsFollowContentAndSettings: a layer's hash changes with what changes
// its cells, and not with where the project lies.
func TestInputsFollowContentAndSettings(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/bei/elev.tif")
	if err != nil {
		t.Fatal(err)
	}
	hash := func(settings string) string {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "l.tif"), raw, 0o644); err != nil {
			t.Fatal(err)
		}
		text := "area: {name: a, date: 2026-01-01, grid: {like: l}}\nlayers:\n  l: {source: l.tif, kind: quantity" + settings + "}\n" + oneSpecies
		if err := os.WriteFile(filepath.Join(folder, FileName), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		o, err := Open(context.Background(), folder)
		if err != nil {
			t.Fatal(err)
		}
		defer o.Close()
		return o.Inputs["l"]
	}
	plain := hash("")
	if hash("") != plain {
		t.Error("the same layer in two folders has two hashes")
	}
	for _, settings := range []string{", nodata: 130", ", resample: nearest"} {
		if hash(settings) == plain {
			t.Errorf("%s changes nothing", settings)
		}
	}
}

// TestClassesBecomeCodes opens real land cover: tables and exclusions go by a
// class's name or its number in the source, and end as the layer's codes.
func TestClassesBecomeCodes(t *testing.T) {
	source, err := filepath.Abs("../../testdata/class-raster/lc.tif")
	if err != nil {
		t.Fatal(err)
	}
	o := openText(t, "area: {name: a, date: 2026-01-01, grid: {like: l}}\nlayers:\n  l: {source: \""+filepath.ToSlash(source)+`", kind: classes, classes: {0: unclassified}}
species:
  - id: frog
    source: assumption
    requisites:
      - {id: r, criteria: [{id: c, measure: value, layer: l, table: {Woody Wetlands: 1, 52: 0.25}}]}
    exclusions:
      - {id: water, layer: l, classes: [11, unclassified]}
`)
	l, err := o.Layers.Layer("l")
	if err != nil {
		t.Fatal(err)
	}
	p := o.Subjects[0].Profile
	for name, want := range map[string]float64{"Woody Wetlands": 1, "Shrub/Scrub": 0.25} {
		code, _ := l.ClassIndex(name)
		if got := p.Requisites[0].Criteria[0].Rating.Rate(float64(code)); got != want {
			t.Errorf("%s rates %v, not %v", name, got, want)
		}
	}
	for name, want := range map[string]bool{"Open Water": true, "unclassified": true, "Shrub/Scrub": false} {
		code, _ := l.ClassIndex(name)
		if got := p.Exclusions[0].Excludes(float64(code)); got != want {
			t.Errorf("%s excluded: %v", name, got)
		}
	}
}

// TestGridOfABoundary: the window's file spans 625000 to 626000 and 1011000 to
// 1011500; multiples of 30 around it are 624990, 626010, 1011000 and 1011510.
func TestGridOfABoundary(t *testing.T) {
	folder, err := filepath.Abs("../../testdata/bei/utm_nominal")
	if err != nil {
		t.Fatal(err)
	}
	folder = filepath.ToSlash(folder)
	o := openText(t, "area: {name: a, date: 2026-01-01, grid: {crs: EPSG:32617, cell: 30, boundary: \""+folder+"/window.gpkg\"}}\n"+
		"layers:\n  l: {source: \""+folder+"/elev.tif\", kind: quantity}\n"+oneSpecies)
	want := layers.Grid{CRS: o.Grid.CRS, West: 624990, North: 1011510, Cell: 30, Cols: 34, Rows: 17}
	if o.Grid != want {
		t.Errorf("the grid is %+v", o.Grid)
	}
}
