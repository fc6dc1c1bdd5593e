package geo

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"tussock/layers"
)

func utm(t *testing.T) layers.CRS {
	t.Helper()
	crs, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	return crs
}

// read reads a file back by GDAL.
func read(t *testing.T, path string) (geometries []orb.Geometry) {
	t.Helper()
	v, err := layers.OpenVector(path, "")
	if err != nil {
		t.Fatal(err)
	}
	defer v.Close()
	for f, err := range v.Features(context.Background(), layers.FeatureQuery{}) {
		if err != nil {
			t.Fatal(err)
		}
		geometries = append(geometries, f.Geometry)
	}
	return geometries
}

func written(t *testing.T, features ...Feature) (body, path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "new", "made.geojson")
	if err := Write(path, utm(t), features); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw), path
}

var square = orb.Polygon{ // both rings the wrong way round
	{{500000, 6200000}, {500000, 6201000}, {501000, 6201000}, {501000, 6200000}, {500000, 6200000}},
	{{500400, 6200400}, {500600, 6200400}, {500600, 6200600}, {500400, 6200600}, {500400, 6200400}},
}

// RFC 7946, section 3.1.6: exterior rings are counter-clockwise, holes are
// clockwise, and the first and last positions are the same.
func TestRingsByTheRightHandRule(t *testing.T) {
	for _, g := range []orb.Geometry{square, orb.MultiPolygon{square}, orb.Polygon{square[0][:4]}} {
		_, path := written(t, Feature{Geometry: g})
		back := read(t, path)[0]
		polygon, ok := back.(orb.Polygon)
		if !ok {
			polygon = back.(orb.MultiPolygon)[0]
		}
		for i, ring := range polygon {
			if area := planar.Area(ring); !ring.Closed() || (area > 0) != (i == 0) {
				t.Errorf("%T: ring %d has the area %g, closed %v", g, i, area, ring.Closed())
			}
		}
	}
	if square[0][1] != (orb.Point{500000, 6201000}) {
		t.Error("the geometry given was changed")
	}
}

// RFC 7946, section 4: longitude and latitude on WGS 84 and no "crs" member;
// section 11.2: six or seven decimals are enough.
func TestCoordinatesAreShortLonLat(t *testing.T) {
	body, path := written(t, Feature{Geometry: square}, Feature{Geometry: orb.Point{500000, 6206080}},
		Feature{Geometry: orb.LineString{{500000, 6206080}, {500000, 6206080.0001}, {501234.5678, 6207890.1234}}},
		Feature{Geometry: orb.MultiPoint{{511000, 6201000}}}, Feature{Geometry: orb.MultiLineString{{{511000, 6201000}, {511000, 6202000}}}})
	if strings.Contains(body, "crs") || regexp.MustCompile(`\.\d{8}`).MatchString(body) || !json.Valid([]byte(body)) {
		t.Fatal(body)
	}
	back := read(t, path)
	// Easting 500000 of a UTM zone is its central meridian: 3 E in zone 31.
	if p := back[1].(orb.Point); p[0] != 3 || math.Abs(p[1]-56) > 0.01 {
		t.Errorf("%v", p)
	}
	if line := back[2].(orb.LineString); len(line) != 2 {
		t.Errorf("points that do not differ were kept: %v", line)
	}
}

// A point must come back to within half of the last decimal, 5.6 mm of
// latitude.
func TestRoundTrip(t *testing.T) {
	crs := utm(t)
	at := orb.Point{507654.321, 6203210.987}
	_, path := written(t, Feature{Geometry: at})
	back, err := layers.NewTransform(layers.WGS84(), crs)
	if err != nil {
		t.Fatal(err)
	}
	defer back.Close()
	g, err := back.Geometry(read(t, path)[0])
	if p, ok := g.(orb.Point); err != nil || !ok || math.Hypot(p[0]-at[0], p[1]-at[1]) > 0.008 {
		t.Errorf("%v, %v", g, err)
	}
}

func TestPropertiesKeepOrderAndText(t *testing.T) {
	body, _ := written(t, Feature{Geometry: orb.Point{500000, 6206080}, Properties: []Property{
		{"zone", "a & <b> \"c\" – ü"}, {"area", 3.5}, {"count", 14000}, {"year", nil}}})
	if want := `"properties":{"zone":"a & <b> \"c\" – ü","area":3.5,"count":14000,"year":null}`; !strings.Contains(body, want) {
		t.Errorf("%s\nlacks %s", body, want)
	}
}

func TestWhatCannotBeWritten(t *testing.T) {
	here := orb.Point{500000, 6206080}
	for want, f := range map[string]Feature{
		"no geometry":         {},
		"three points":        {Geometry: orb.Polygon{{here, here, here, here}}},
		"two points":          {Geometry: orb.LineString{here}},
		"no place":            {Geometry: orb.Point{math.NaN(), 1}},
		"not a finite number": {Geometry: here, Properties: []Property{{"v", math.Inf(1)}}},
		"type bool":           {Geometry: here, Properties: []Property{{"v", true}}},
	} {
		path := filepath.Join(t.TempDir(), "bad.geojson")
		err := Write(path, utm(t), []Feature{{Geometry: here}, f})
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "feature 2") {
			t.Errorf("%s: %v", want, err)
		}
		if _, err := os.Stat(path); err == nil {
			t.Errorf("%s: a file was left", want)
		}
	}
}
