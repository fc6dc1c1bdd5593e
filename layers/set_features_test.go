package layers

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// Features come back as they were written, in the grid's CRS.
func TestFeaturesAreThoseOfTheSource(t *testing.T) {
	crs, err := ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "things.geojson")
	text := `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::32631"}},"features":[
{"type":"Feature","properties":{"class":"main"},"geometry":{"type":"LineString","coordinates":[[500010,6200990],[500990,6200010]]}},
{"type":"Feature","properties":{"class":null},"geometry":{"type":"Point","coordinates":[500500,6200500]}},
{"type":"Feature","properties":{"class":"lake"},"geometry":{"type":"MultiPolygon","coordinates":[
 [[[500100,6200100],[500400,6200100],[500400,6200400],[500100,6200400],[500100,6200100]],
  [[500200,6200200],[500200,6200300],[500300,6200300],[500300,6200200],[500200,6200200]]],
 [[[500600,6200600],[500700,6200600],[500700,6200700],[500600,6200600]]]]}},
{"type":"Feature","properties":{"class":"far"},"geometry":{"type":"Point","coordinates":[900000,6200500]}}]}`
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	grid := Grid{CRS: crs, West: 500000, North: 6201000, Cell: 25, Cols: 40, Rows: 40}
	l, err := OpenLayer(LayerSpec{Name: "things", Kind: Features, Source: path}, grid)
	if err != nil {
		t.Fatal(err)
	}
	s := NewSet(grid, l)
	defer s.Close()
	list, err := s.Features("things", grid.Window(), "class")
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 3 || list[0].Value != "main" || list[1].Value != "" || list[2].Value != "lake" {
		t.Fatalf("%+v", list)
	}
	line := list[0].Geometry.(orb.MultiLineString)[0]
	if sameSpot(line[0], orb.Point{500010, 6200990}) && sameSpot(line[1], orb.Point{500990, 6200010}) {
		line = nil
	}
	if line != nil || !sameSpot(list[1].Geometry.(orb.Point), orb.Point{500500, 6200500}) {
		t.Errorf("%v, %v", list[0].Geometry, list[1].Geometry)
	}
	lake := list[2].Geometry.(orb.MultiPolygon)
	if len(lake) != 2 || len(lake[0]) != 2 || len(lake[1]) != 1 {
		t.Fatalf("%v", lake)
	}
	if area, err := GeodesicArea(CRS{local: true, unit: 1, wkt: "x"}, lake); err != nil || math.Abs(area-(90000-10000+5000)) > 1e-3 {
		t.Errorf("area %g, %v; want 85000", area, err)
	}
	if _, err := s.Features("things", grid.Window(), "klass"); err == nil || !strings.Contains(err.Error(), `did you mean "class"?`) {
		t.Errorf("an attribute that is not there: %v", err)
	}
	if _, err := s.Features("nothing", grid.Window(), ""); err == nil {
		t.Error("a layer that is not there has features")
	}
}

func sameSpot(a, b orb.Point) bool { return math.Hypot(a[0]-b[0], a[1]-b[1]) < 1e-6 }
