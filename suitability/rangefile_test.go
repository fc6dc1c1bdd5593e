package suitability

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"tussock/layers"
)

func rangeCRS(t *testing.T, text string) layers.CRS {
	t.Helper()
	c, err := layers.ParseCRS(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// rangeGeoJSON writes features, each as properties and geometry.
func rangeGeoJSON(t *testing.T, features ...[2]string) string {
	t.Helper()
	var list []string
	for i, f := range features {
		geometry := f[1]
		if !strings.HasPrefix(geometry, "{") && geometry != "null" {
			geometry = `{"type":"Polygon","coordinates":` + geometry + `}`
		}
		list = append(list, fmt.Sprintf(`{"type":"Feature","id":%d,"properties":%s,"geometry":%s}`, i+1, f[0], geometry))
	}
	file := filepath.Join(t.TempDir(), "ranges.geojson")
	text := `{"type":"FeatureCollection","features":[` + strings.Join(list, ",\n") + `]}`
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

const (
	rangeSquare = `[[[-80,9],[-79,9],[-79,10],[-80,10],[-80,9]]]`
	rangeBowTie = `[[[-80,9],[-79,10],[-79,9],[-80,10],[-80,9]]]`
)

func TestReadRanges(t *testing.T) {
	file := rangeGeoJSON(t,
		[2]string{`{"species":"A","Status":"Extant","year":1998,"author":"B. Mapper","scale":"1:50000"}`, rangeSquare},
		[2]string{`{"species":"B","Status":"probably_extant","year":"2001-05-03"}`, `{"type":"MultiPolygon","coordinates":[` + rangeSquare + `,[[[-81,9],[-80.5,9],[-80.5,9.5],[-81,9]]]]}`},
	)
	grid := rangeCRS(t, "EPSG:32617")
	got, err := ReadRanges(context.Background(), RangeSource{Source: file}, grid)
	if err != nil || len(got) != 2 {
		t.Fatalf("%+v, %v", got, err)
	}
	a, b := got[0], got[1]
	if a.Species != "A" || a.Status != StatusDocumented || a.Year != 1998 || a.Author != "B. Mapper" || a.Scale != 50000 || len(a.Geometry) != 1 {
		t.Errorf("%+v", a)
	}
	if b.Species != "B" || b.Status != StatusUncertain || b.Year != 2001 || b.Author != "" || b.Scale != 0 || len(b.Geometry) != 2 {
		t.Errorf("%+v", b)
	}
	for i, p := range [][2]string{{"-80", "9"}, {"-79", "9"}, {"-79", "10"}, {"-80", "10"}} {
		if want := gdalTransform(t, p[0], p[1]); math.Hypot(a.Geometry[0][0][i][0]-want[0], a.Geometry[0][0][i][1]-want[1]) > 1e-3 {
			t.Errorf("vertex %v at %v, by gdaltransform %v", p, a.Geometry[0][0][i], want)
		}
	}
}

// gdalTransform is GDAL's own program, as an independent engine.
func gdalTransform(t *testing.T, lon, lat string) orb.Point {
	t.Helper()
	c := exec.Command("gdaltransform", "-s_srs", "EPSG:4326", "-t_srs", "EPSG:32617", "-output_xy")
	c.Stdin = strings.NewReader(lon + " " + lat + "\n")
	out, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	var p orb.Point
	if _, err := fmt.Sscan(string(out), &p[0], &p[1]); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestReadRangesByFieldsAndValues(t *testing.T) {
	file := rangeGeoJSON(t, [2]string{`{"sp":"A","st":""}`, rangeSquare}, [2]string{`{"sp":"","st":"vagrant"}`, rangeSquare})
	s := RangeSource{Source: file, Fields: map[string]string{"species": "SP", "status": "st"}, Values: map[string]string{"species": "Z", "status": "historic"}}
	got, err := ReadRanges(context.Background(), s, layers.WGS84())
	if err != nil || len(got) != 2 || got[0].Species != "A" || got[0].Status != StatusHistoric || got[1].Species != "Z" || got[1].Status != StatusVagrant {
		t.Fatalf("%+v, %v", got, err)
	}
}

func TestReadRangesRefusals(t *testing.T) {
	const known = `{"species":"A","status":"extant"}`
	for name, c := range map[string]struct {
		feature [2]string
		source  RangeSource
		words   []string
	}{
		"unknown status":  {[2]string{`{"species":"A","status":"extnat"}`, rangeSquare}, RangeSource{}, []string{"feature 1", `did you mean "extant"`, "possibly extinct", "vagrant"}},
		"no status":       {[2]string{`{"species":"A","status":null}`, rangeSquare}, RangeSource{}, []string{"feature 1", "no status", "extant"}},
		"no species":      {[2]string{`{"species":" ","status":"extant"}`, rangeSquare}, RangeSource{}, []string{"feature 1", "no species"}},
		"bad year":        {[2]string{`{"species":"A","status":"extant","year":"soon"}`, rangeSquare}, RangeSource{}, []string{"feature 1", `year "soon"`, "1998"}},
		"bad scale":       {[2]string{`{"species":"A","status":"extant","scale":"large"}`, rangeSquare}, RangeSource{}, []string{"feature 1", `scale "large"`, "50000"}},
		"crossing itself": {[2]string{known, rangeBowTie}, RangeSource{}, []string{"feature 1", "-79.5, 9.5", "repair: true"}},
		"hole outside":    {[2]string{known, `[[[-80,9],[-79,9],[-79,10],[-80,10],[-80,9]],[[-75,9],[-74,9],[-74,10],[-75,9]]]`}, RangeSource{}, []string{"feature 1", "repair: true"}},
		"no geometry":     {[2]string{known, "null"}, RangeSource{}, []string{"feature 1", "no geometry"}},
		"a point":         {[2]string{known, `{"type":"Point","coordinates":[1,2]}`}, RangeSource{}, []string{"feature 1", "Point", "polygon is needed"}},
		"nothing left":    {[2]string{known, rangeSquare}, RangeSource{Where: "species = 'B'"}, []string{"no features", "hint"}},
		"no such layer":   {[2]string{known, rangeSquare}, RangeSource{Layer: "other"}, []string{"other"}},
		"no such field":   {[2]string{known, rangeSquare}, RangeSource{Fields: map[string]string{"statuss": "status"}}, []string{`did you mean "status"`}},
		"no such column":  {[2]string{known, rangeSquare}, RangeSource{Fields: map[string]string{"status": "statu"}}, []string{`did you mean "status"`}},
		"no column":       {[2]string{`{"species":"A","what":"extant"}`, rangeSquare}, RangeSource{}, []string{"no column for status", "fields: {status: column}"}},
	} {
		c.source.Source = rangeGeoJSON(t, c.feature)
		got, err := ReadRanges(context.Background(), c.source, layers.WGS84())
		if err == nil {
			t.Errorf("%s: %+v", name, got)
			continue
		}
		for _, w := range append(c.words, "ranges.geojson") {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %v\nsays nothing of %q", name, err, w)
			}
		}
	}
}

// All bad features are named at once, the first twenty by themselves.
func TestReadRangesNamesAll(t *testing.T) {
	var features [][2]string
	for range 25 {
		features = append(features, [2]string{`{"species":"A","status":"?"}`, rangeSquare})
	}
	_, err := ReadRanges(context.Background(), RangeSource{Source: rangeGeoJSON(t, features...)}, layers.WGS84())
	if err == nil || !strings.Contains(err.Error(), "feature 20:") || strings.Contains(err.Error(), "feature 21:") || !strings.Contains(err.Error(), "and 5 more") {
		t.Errorf("%v", err)
	}
}

// Repaired, the bow tie is its two triangles: half the square's area in all.
func TestReadRangesRepair(t *testing.T) {
	file := rangeGeoJSON(t, [2]string{`{"species":"A","status":"extant"}`, rangeBowTie})
	got, err := ReadRanges(context.Background(), RangeSource{Source: file, Repair: true}, layers.WGS84())
	if err != nil || len(got) != 1 || len(got[0].Geometry) != 2 {
		t.Fatalf("%+v, %v", got, err)
	}
	area := 0.0
	for _, p := range got[0].Geometry {
		area += ringArea(p[0])
	}
	if math.Abs(area-0.5) > 1e-12 {
		t.Errorf("area %v, want 0.5", area)
	}
}

func ringArea(r orb.Ring) float64 {
	sum := 0.0
	for i := 1; i < len(r); i++ {
		sum += r[i-1][0]*r[i][1] - r[i][0]*r[i-1][1]
	}
	return math.Abs(sum) / 2
}

func TestReadRangesNeedsACRS(t *testing.T) {
	source := rangeGeoJSON(t, [2]string{`{"species":"A","status":"extant"}`, rangeSquare})
	file := filepath.Join(t.TempDir(), "ranges.shp")
	if out, err := exec.Command("ogr2ogr", file, source).CombinedOutput(); err != nil {
		t.Fatalf("ogr2ogr: %v\n%s", err, out)
	}
	if err := os.Remove(strings.TrimSuffix(file, ".shp") + ".prj"); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadRanges(context.Background(), RangeSource{Source: file}, layers.WGS84()); err == nil || !strings.Contains(err.Error(), "crs: EPSG:4326") {
		t.Errorf("%v", err)
	}
	if got, err := ReadRanges(context.Background(), RangeSource{Source: file, CRS: "EPSG:4326"}, layers.WGS84()); err != nil || len(got) != 1 {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestOpenRings(t *testing.T) {
	open := orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 1}}}}
	if reason, at, ok := openRing(open); ok || reason == "" || at != (orb.Point{1, 1}) {
		t.Errorf("%q at %v, %v", reason, at, ok)
	}
	closed := closedRings(open)
	if _, _, ok := openRing(closed); !ok || len(open[0][0]) != 3 || len(closed[0][0]) != 4 {
		t.Errorf("%v from %v", closed, open)
	}
}
