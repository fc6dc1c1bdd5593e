package layers

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

func sampleItem(t testing.TB) StacItem {
	g := sampleGrid(t, 201, 101)
	surface := CogSpec{Grid: g, Nodata: 255, Overviews: Average, Scale: 0.005, Unit: "1"}
	standing := CogSpec{Grid: g, Nodata: 255, Overviews: Majority, Classes: []Class{
		{Value: 0, Name: "documented here", Colour: color.NRGBA{0, 0x80, 0xff, 255}}, {Value: 1, Name: "Rand (früher)"}, {Value: 2, Name: "???"},
	}}
	exact := CogSpec{Grid: g, Cells: CogFloats, Overviews: Average}
	return StacItem{
		ID: "fernleaf-ab12", Title: "Fernleaf <tree>", Description: "Where it could live", Licence: "CC-BY-4.0",
		Date: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Grid: g,
		Properties: map[string]any{"tussock:profile": "ab12"},
		Links:      []StacLink{{Rel: "about", Href: "https://example.org/"}},
		Assets: []StacAsset{
			{Key: "suitability", Href: "./s.tif", Roles: []string{"data"}, Raster: &surface,
				Statistics: &Statistics{Count: 10, Min: 0, Max: 1, Mean: 0.5, StdDev: 0.25, ValidPercent: 50}},
			{Key: "standing", Href: "./t.tif", Raster: &standing, Statistics: &Statistics{}},
			{Key: "exact", Href: "./e.tif", Raster: &exact},
			{Key: "style", Href: "./s.sld", MediaType: "application/vnd.ogc.sld+xml", Roles: []string{"metadata"}},
		},
	}
}

type stacDocument struct {
	Type       string
	Version    string   `json:"stac_version"`
	Extensions []string `json:"stac_extensions"`
	ID         string
	Geometry   *struct {
		Type        string
		Coordinates json.RawMessage
	}
	BBox       []float64
	Properties map[string]any
	Assets     map[string]map[string]any
	Links      []map[string]any
}

func readStac(t *testing.T, item StacItem) (stacDocument, map[string]json.RawMessage) {
	t.Helper()
	var one, two bytes.Buffer
	if err := errors.Join(WriteStac(&one, item), WriteStac(&two, item)); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("equal items give other bytes")
	}
	var doc stacDocument
	var raw map[string]json.RawMessage
	if err := errors.Join(json.Unmarshal(one.Bytes(), &doc), json.Unmarshal(one.Bytes(), &raw)); err != nil {
		t.Fatal(err)
	}
	return doc, raw
}

// Required fields: STAC 1.x item-spec/json-schema/item.json ("required":
// stac_version, id, links, assets, properties; geometry and, unless it is null,
// bbox; properties.datetime) and GeoJSON's type.
func TestStacItemHasWhatTheStandardAsksFor(t *testing.T) {
	doc, raw := readStac(t, sampleItem(t))
	for _, name := range []string{"type", "stac_version", "stac_extensions", "id", "geometry", "bbox", "properties", "links", "assets"} {
		if _, ok := raw[name]; !ok {
			t.Errorf("no %s", name)
		}
	}
	if doc.Type != "Feature" || doc.Version != "1.1.0" || doc.ID != "fernleaf-ab12" || doc.Properties["datetime"] != "2026-06-01T00:00:00Z" {
		t.Errorf("%+v", doc)
	}
	for _, name := range []string{"projection", "raster", "classification"} {
		if want := "https://stac-extensions.github.io/" + name + "/v2.0.0/schema.json"; !strings.Contains(fmt.Sprint(doc.Extensions), want) {
			t.Errorf("%s is not among %v", want, doc.Extensions)
		}
	}
	if _, ok := doc.Properties["proj:epsg"]; ok {
		t.Error("proj:epsg was removed in projection 2.0.0")
	}
	want := map[string]string{
		"proj:code": "EPSG:32617", "proj:shape": "[101 201]", "title": "Fernleaf <tree>", "license": "CC-BY-4.0", "tussock:profile": "ab12",
		"proj:bbox":      fmt.Sprint([]any{624997.5, 1011502.5 - 505, 624997.5 + 1005, 1011502.5}),
		"proj:transform": fmt.Sprint([]any{5., 0., 624997.5, 0., -5., 1011502.5}), // projection extension: as rasterio orders it
	}
	for name, text := range want {
		if got := fmt.Sprint(doc.Properties[name]); got != text {
			t.Errorf("%s is %s, want %s", name, got, text)
		}
	}
	if wkt, _ := doc.Properties["proj:wkt2"].(string); !strings.HasPrefix(wkt, "PROJCRS[") {
		t.Errorf("proj:wkt2 %.40s", wkt)
	}
}

// Fields and types: STAC common metadata (data-values.json), raster extension
// 2.0.0, classification extension (README, "Class Object").
func TestStacAssetsDescribeTheirCells(t *testing.T) {
	doc, _ := readStac(t, sampleItem(t))
	a := doc.Assets["suitability"]
	for name, want := range map[string]any{
		"href": "./s.tif", "type": CogMediaType, "data_type": "uint8", "nodata": 255.0, "unit": "1",
		"raster:scale": 0.005, "raster:offset": 0.0, "raster:sampling": "area", "raster:spatial_resolution": 5.0,
	} {
		if a[name] != want {
			t.Errorf("%s is %v, want %v", name, a[name], want)
		}
	}
	if got := fmt.Sprint(a["statistics"]); got != "map[count:10 maximum:200 mean:100 minimum:0 stddev:50 valid_percent:50]" {
		t.Errorf("statistics of stored numbers: %s", got)
	}
	if got := fmt.Sprint(doc.Assets["standing"]["statistics"]); got != "map[count:0 valid_percent:0]" {
		t.Errorf("statistics of nothing: %s", got)
	}
	if e := doc.Assets["exact"]; e["data_type"] != "float32" || e["nodata"] != "nan" {
		t.Errorf("%v", e)
	}
	if s := doc.Assets["style"]; s["type"] != "application/vnd.ogc.sld+xml" || s["data_type"] != nil {
		t.Errorf("%v", s)
	}
	classes := doc.Assets["standing"]["classification:classes"].([]any)
	name := regexp.MustCompile(`^[0-9A-Za-z_-]+$`)
	for _, c := range classes {
		if !name.MatchString(c.(map[string]any)["name"].(string)) {
			t.Errorf("class name %v", c)
		}
	}
	want := "[map[color_hint:0080FF description:documented here name:documented_here value:0] map[description:Rand (früher) name:rand__fr_her_ value:1] map[description:??? name:class_2 value:2]]"
	if got := fmt.Sprint(classes); got != want {
		t.Errorf("classes %s", got)
	}
}

// The footprint against GDAL's own transformation utility, at every point.
func TestStacFootprintAgainstGDAL(t *testing.T) {
	item := sampleItem(t)
	item.Grid.Cell = 500 // a hundred kilometres, so that edges bend
	doc, _ := readStac(t, item)
	var polygon orb.Polygon
	if err := json.Unmarshal(doc.Geometry.Coordinates, &polygon); err != nil || doc.Geometry.Type != "Polygon" {
		t.Fatal(err, doc.Geometry.Type)
	}
	ring := polygon[0]
	if ring.Orientation() != orb.CCW || !ring.Closed() {
		t.Error("the outer ring is not closed or not counter-clockwise (RFC 7946, 3.1.6)")
	}
	var in bytes.Buffer
	for _, p := range gridRing(item.Grid) {
		fmt.Fprintf(&in, "%.4f %.4f\n", p[0], p[1])
	}
	cmd := exec.Command("gdaltransform", "-output_xy", "-s_srs", "EPSG:32617", "-t_srs", "OGC:CRS84")
	cmd.Stdin = &in
	out, err := cmd.Output()
	if errors.Is(err, exec.ErrNotFound) {
		t.Skip("GDAL's utilities are not installed")
	}
	box := orb.Bound{Min: orb.Point{180, 90}, Max: orb.Point{-180, -90}}
	for i, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		var p orb.Point
		fmt.Sscan(line, &p[0], &p[1])
		box = box.Extend(p)
		if math.Abs(ring[i][0]-p[0]) > 1e-7 || math.Abs(ring[i][1]-p[1]) > 1e-7 {
			t.Fatalf("point %d is %v, GDAL has %v", i, ring[i], p)
		}
	}
	for i, want := range []float64{box.Min[0], box.Min[1], box.Max[0], box.Max[1]} {
		if math.Abs(doc.BBox[i]-want) > 1e-7 {
			t.Errorf("bbox %v, GDAL has %v", doc.BBox, box)
		}
	}
}

func TestStacFootprintAcrossTheAntimeridian(t *testing.T) {
	item := sampleItem(t)
	crs, err := ParseCRS("EPSG:3832") // PDC Mercator: false easting 0 at 150° E
	if err != nil {
		t.Fatal(err)
	}
	// 3,000 to 4,000 km east of 150° E on the equator: 177° E to 174° W.
	item.Grid = Grid{CRS: crs, West: 3_000_000, North: 100_000, Cell: 10_000, Cols: 100, Rows: 20}
	doc, _ := readStac(t, item)
	if doc.BBox[0] < 170 || doc.BBox[2] > -170 {
		t.Errorf("bbox %v does not run from east to west (RFC 7946, 5.2)", doc.BBox)
	}
	var parts orb.MultiPolygon
	if err := json.Unmarshal(doc.Geometry.Coordinates, &parts); err != nil || len(parts) != 2 {
		t.Fatal(err, doc.Geometry.Type)
	}
	for _, p := range parts {
		if b := p.Bound(); b.Max[0]-b.Min[0] > 20 || b.Min[0] < -180 || b.Max[0] > 180 || p[0].Orientation() != orb.CCW || !p[0].Closed() {
			t.Errorf("part %v", b)
		}
	}
}

func TestStacWithoutAPlaceOnEarth(t *testing.T) {
	item := sampleItem(t)
	crs, err := ParseCRS(`LOCAL_CS["forest plot",UNIT["metre",1],AXIS["Easting",EAST],AXIS["Northing",NORTH]]`)
	if err != nil {
		t.Fatal(err)
	}
	item.Grid.CRS, item.Links, item.Properties = crs, nil, nil
	doc, raw := readStac(t, item)
	if string(raw["geometry"]) != "null" || raw["bbox"] != nil || string(raw["links"]) != "[]" {
		t.Errorf("geometry %s, bbox %s, links %s", raw["geometry"], raw["bbox"], raw["links"])
	}
	if code, ok := doc.Properties["proj:code"]; code != nil || !ok {
		t.Errorf("proj:code %v", code)
	}
}

func TestStacRefusesIncompleteItems(t *testing.T) {
	for name, change := range map[string]func(*StacItem){
		"no id":      func(s *StacItem) { s.ID = "" },
		"no date":    func(s *StacItem) { s.Date = time.Time{} },
		"no assets":  func(s *StacItem) { s.Assets = nil },
		"one twice":  func(s *StacItem) { s.Assets = append(s.Assets, s.Assets[0]) },
		"no place":   func(s *StacItem) { s.Assets[0].Href = "" },
		"bad raster": func(s *StacItem) { s.Assets[0].Raster.Overviews = 0 },
		"a pole": func(s *StacItem) {
			crs, _ := ParseCRS("EPSG:3413")
			s.Grid = Grid{CRS: crs, West: -1e6, North: 1e6, Cell: 1e4, Cols: 200, Rows: 200}
		},
	} {
		item := sampleItem(t)
		change(&item)
		if err := WriteStac(io.Discard, item); !errors.Is(err, ErrStac) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
