package layers

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

const ponds = `{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"name": "mill", "depth": 1.5, "newts": 3, "note": ""}, "geometry": {"type": "Point", "coordinates": [-2.5, 51.25, 12]}},
{"type": "Feature", "properties": {"name": "farm", "depth": null, "newts": null, "note": null}, "geometry": {"type": "Point", "coordinates": [-2, 51]}},
{"type": "Feature", "properties": {"name": "größer Teich", "depth": 0, "newts": -1, "note": "a \"b\", c"}, "geometry": null},
{"type": "Feature", "properties": {"name": "line", "depth": 9, "newts": 2, "note": "x"}, "geometry": {"type": "LineString", "coordinates": [[0, 1, 2], [3, 4, 5]]}}]}`

// pondsFile brings the ponds into a format by GDAL's Python binding.
func pondsFile(t testing.TB, name, format string) string {
	t.Helper()
	folder := t.TempDir()
	source, path := filepath.Join(folder, "source.geojson"), filepath.Join(folder, name)
	if err := os.WriteFile(source, []byte(ponds), 0o644); err != nil {
		t.Fatal(err)
	}
	python(t, "gdal.VectorTranslate(sys.argv[1], sys.argv[2], format=sys.argv[3], layerName='ponds', dim='XYZ')", path, source, format)
	return path
}

func openVectorTest(t testing.TB, path, layer string) *Vector {
	t.Helper()
	v, err := OpenVector(path, layer)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = v.Close() })
	return v
}

func allFeatures(t testing.TB, v *Vector, q FeatureQuery) (list []Feature) {
	t.Helper()
	for f, err := range v.Features(t.Context(), q) {
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, f)
	}
	return list
}

func pondNames(list []Feature) string {
	var names []string
	for _, f := range list {
		names = append(names, f.Attributes["name"])
	}
	return strings.Join(names, ",")
}

func TestVectorGeoPackage(t *testing.T) {
	t.Parallel()
	v := openVectorTest(t, pondsFile(t, "ponds.gpkg", "GPKG"), "")
	info := v.Info()
	if info.Layer != "ponds" || info.Count != 4 || info.CRS.Code() != "EPSG:4326" {
		t.Errorf("%+v", info)
	}
	want := []Field{{"name", "String"}, {"depth", "Real"}, {"newts", "Integer"}, {"note", "String"}}
	if !reflect.DeepEqual(info.Fields, want) {
		t.Errorf("fields %v", info.Fields)
	}
	list := allFeatures(t, v, FeatureQuery{})
	wanted := []Feature{ // longitude first, no heights; null is not there, empty is
		{1, orb.Point{-2.5, 51.25}, map[string]string{"name": "mill", "depth": "1.5", "newts": "3", "note": ""}},
		{2, orb.Point{-2, 51}, map[string]string{"name": "farm"}},
		{3, nil, map[string]string{"name": "größer Teich", "depth": "0", "newts": "-1", "note": `a "b", c`}},
		{4, orb.LineString{{0, 1}, {3, 4}}, map[string]string{"name": "line", "depth": "9", "newts": "2", "note": "x"}},
	}
	if !reflect.DeepEqual(list, wanted) {
		t.Errorf("%v", list)
	}
	for _, c := range []struct {
		query FeatureQuery
		want  string
	}{
		{FeatureQuery{Where: "newts > 0"}, "mill,line"},
		{FeatureQuery{Where: "note IS NULL"}, "farm"},
		{FeatureQuery{Bound: &orb.Bound{Min: orb.Point{-3, 50}, Max: orb.Point{-1, 52}}}, "mill,farm"},
		{FeatureQuery{Where: "newts > 0", Bound: &orb.Bound{Min: orb.Point{-3, 50}, Max: orb.Point{-1, 52}}}, "mill"},
		{FeatureQuery{}, "mill,farm,größer Teich,line"}, // the filters are gone
	} {
		if got := pondNames(allFeatures(t, v, c.query)); got != c.want {
			t.Errorf("%+v: %s, want %s", c.query, got, c.want)
		}
	}
}

func TestVectorOtherFormats(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, format string }{{"ponds.geojson", "GeoJSON"}, {"ponds.csv", "CSV"}} {
		v := openVectorTest(t, pondsFile(t, c.name, c.format), "ponds")
		if got := pondNames(allFeatures(t, v, FeatureQuery{})); got != "mill,farm,größer Teich,line" {
			t.Errorf("%s: %s", c.format, got)
		}
	}
}

// A walk may stop, start over and be cut short, but not run twice at once.
func TestVectorWalks(t *testing.T) {
	t.Parallel()
	v := openVectorTest(t, pondsFile(t, "ponds.gpkg", "GPKG"), "ponds")
	for f, err := range v.Features(t.Context(), FeatureQuery{}) {
		if err != nil || f.FID != 1 {
			t.Fatalf("%v, %v", f, err)
		}
		break
	}
	for _, err := range v.Features(t.Context(), FeatureQuery{}) {
		if err != nil {
			t.Fatal(err)
		}
		for _, err := range v.Features(t.Context(), FeatureQuery{}) {
			if err == nil {
				t.Fatal("a second walk began within the first")
			}
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	seen, last := 0, error(nil)
	for _, err := range v.Features(ctx, FeatureQuery{}) {
		seen++
		last = err
		cancel()
	}
	if seen != 2 || !errors.Is(last, context.Canceled) {
		t.Errorf("%d steps after a cancel, then %v", seen, last)
	}
	if n := len(allFeatures(t, v, FeatureQuery{})); n != 4 {
		t.Errorf("%d features afterwards", n)
	}
	if err := v.Close(); err != nil {
		t.Fatal(err)
	}
	if err := v.Close(); !errors.Is(err, ErrClosed) {
		t.Errorf("a second Close: %v", err)
	}
	for _, err := range v.Features(t.Context(), FeatureQuery{}) {
		if !errors.Is(err, ErrClosed) {
			t.Errorf("a walk after Close: %v", err)
		}
	}
}

// Curves become lines, measures go, empty geometries are none.
func TestVectorShapes(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "shapes.gpkg")
	python(t, `
d = gdal.GetDriverByName('GPKG').Create(sys.argv[1], 0, 0, 0, gdal.GDT_Unknown)
s = osr.SpatialReference(); s.ImportFromEPSG(27700)
l = d.CreateLayer('shapes', s, ogr.wkbUnknown)
for w in ['CURVEPOLYGON(CIRCULARSTRING(0 0, 100 100, 200 0, 100 -100, 0 0))', 'POLYGON ZM((0 0 1 2, 1 0 1 2, 1 1 1 2, 0 0 1 2))', 'POLYGON EMPTY', 'POINT EMPTY', 'GEOMETRYCOLLECTION(POINT(1 2), LINESTRING(0 0, 1 1))']:
    f = ogr.Feature(l.GetLayerDefn()); f.SetGeometry(ogr.CreateGeometryFromWkt(w)); l.CreateFeature(f)
d = None
`, path)
	list := allFeatures(t, openVectorTest(t, path, "shapes"), FeatureQuery{})
	circle, ok := list[0].Geometry.(orb.Polygon)
	if !ok || len(circle[0]) < 50 {
		t.Fatalf("the circle became %v", list[0].Geometry)
	}
	for _, p := range circle[0] {
		if math.Abs(math.Hypot(p[0]-100, p[1])-100) > 1e-6 {
			t.Errorf("%v is not on the circle", p)
		}
	}
	want := []orb.Geometry{orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}, nil, nil, orb.Collection{orb.Point{1, 2}, orb.LineString{{0, 0}, {1, 1}}}}
	for i, w := range want {
		if got := list[i+1].Geometry; !reflect.DeepEqual(got, w) {
			t.Errorf("feature %d is %v, want %v", list[i+1].FID, got, w)
		}
	}
}

func TestVectorRefusals(t *testing.T) {
	t.Parallel()
	path := pondsFile(t, "ponds.gpkg", "GPKG")
	python(t, "d = gdal.OpenEx(sys.argv[1], gdal.OF_UPDATE); d.CreateLayer('paths', None, ogr.wkbLineString); d = None", path)
	if got, err := VectorLayers(path); err != nil || strings.Join(got, ",") != "ponds,paths" {
		t.Errorf("%v, %v", got, err)
	}
	for _, layer := range []string{"", "roads"} {
		if _, err := OpenVector(path, layer); err == nil || !strings.Contains(err.Error(), "ponds, paths") {
			t.Errorf("layer %q: %v", layer, err)
		}
	}
	var e *SourceError
	missing := filepath.Join(t.TempDir(), "missing.gpkg")
	if _, err := OpenVector(missing, ""); !errors.As(err, &e) || e.Path != missing {
		t.Errorf("a missing file: %v", err)
	}
	if _, err := VectorLayers(missing); !errors.As(err, &e) {
		t.Errorf("layers of a missing file: %v", err)
	}
	v := openVectorTest(t, path, "ponds")
	for _, where := range []string{"nosuch = 1", "name = ", "'"} {
		for _, err := range v.Features(t.Context(), FeatureQuery{Where: where}) {
			if !errors.As(err, &e) || e.Layer != "ponds" || e.Path != path {
				t.Errorf("where %s: %v", where, err)
			}
		}
	}
}

// SQLite stops with an error in the middle of a walk, and OGR says only that
// there is no further feature: what its collector saw must end the walk as a
// failure, not as the end of the data.
func TestVectorFailureInTheMiddle(t *testing.T) {
	t.Parallel()
	v := openVectorTest(t, pondsFile(t, "ponds.gpkg", "GPKG"), "ponds")
	var last error
	for _, err := range v.Features(t.Context(), FeatureQuery{Where: "abs(-9223372036854775807 - (fid > 1)) > 0"}) {
		last = err
	}
	var e *SourceError
	if !errors.As(last, &e) || e.Layer != "ponds" || !strings.Contains(e.Text, "overflow") {
		t.Errorf("the walk ended with %v", last)
	}
}
