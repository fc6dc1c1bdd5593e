package records

import (
	"context"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tussock/layers"
)

// ogr2ogr is GDAL's own program; here it turns the trees' table into a
// GeoPackage and into a Shapefile without a CRS.
func ogr2ogr(t *testing.T, args ...string) {
	t.Helper()
	if out, err := exec.Command("ogr2ogr", args...).CombinedOutput(); err != nil {
		t.Fatalf("ogr2ogr: %v\n%s", err, out)
	}
}

func TestVectorReadsWhatTheTableSays(t *testing.T) {
	t.Parallel()
	utm := crs(t, "EPSG:32617")
	file := filepath.Join(t.TempDir(), "trees.gpkg")
	ogr2ogr(t, "-a_srs", "EPSG:32617", "-oo", "X_POSSIBLE_NAMES=x", "-oo", "Y_POSSIBLE_NAMES=y", "-nln", "trees", file, beiUTM)
	table, vector := readAll(t, Source{File: beiUTM}, utm), readAll(t, Source{File: file}, utm)
	for i := range table {
		a, b := table[i], vector[i]
		if a.ID != b.ID || a.Species != b.Species || a.Point != b.Point {
			t.Fatalf("%+v in the table, %+v in the layer", a, b)
		}
	}
	if got, want := vector[2].Source.String(), file+", layer trees, feature 3"; got != want {
		t.Errorf("origin %q, want %q", got, want)
	}
	some, err := Read(context.Background(), Source{File: file, Where: "occurrenceID < 'bei-0011'"}, utm)
	if err != nil || len(some.Records) != 10 {
		t.Errorf("%d records where 10 were asked for: %v", len(some.Records), err)
	}
}

func TestVectorWithoutCRS(t *testing.T) {
	t.Parallel()
	utm := crs(t, "EPSG:32617")
	file := filepath.Join(t.TempDir(), "trees.shp")
	ogr2ogr(t, "-oo", "X_POSSIBLE_NAMES=x", "-oo", "Y_POSSIBLE_NAMES=y", file, beiUTM)
	// Shapefiles keep 10 letters of a name.
	s := Source{File: file, Fields: map[string]string{"scientificName": "scientific"}}
	if _, err := Read(context.Background(), s, utm); err == nil || !strings.Contains(err.Error(), "crs: EPSG") {
		t.Errorf("%v", err)
	}
	s.CRS = "EPSG:32617"
	readAll(t, s, utm)
}

func TestVectorFeatures(t *testing.T) {
	file := filepath.Join(t.TempDir(), "finds.geojson")
	const text = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"scientificName":"V","eventDate":"2024-05-01"},"geometry":{"type":"Point","coordinates":[1,2]}},
{"type":"Feature","properties":{"scientificName":"V","eventDate":null},"geometry":{"type":"Polygon","coordinates":[[[1,50],[1.002,50],[1.002,50.001],[1,50.001],[1,50]]]}},
{"type":"Feature","properties":{"scientificName":"V"},"geometry":null},
{"type":"Feature","properties":{"scientificName":""},"geometry":{"type":"Point","coordinates":[1,2]}},
{"type":"Feature","properties":{"scientificName":"V"},"geometry":{"type":"Point","coordinates":[0,0]}}]}`
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	set, err := Read(context.Background(), Source{File: file}, layers.WGS84())
	if err != nil || len(set.Records) != 2 || len(set.Rejects) != 3 {
		t.Fatalf("%+v, %v", set, err)
	}
	if set.Records[0].Date.String() != "2024-05-01" {
		t.Errorf("%+v", set.Records[0])
	}
	// Half the diagonal of 0.002° by 0.001° at latitude 50, by the metres of a
	// degree on WGS84: 111 229 north, 71 696 east (formula of degreeLengths).
	field := set.Records[1]
	if want := math.Hypot(0.002*71696, 0.001*111229) / 2; field.UncertaintyM == nil || math.Abs(*field.UncertaintyM-want) > 0.5 || !slices.Contains(field.Notes, noteFootprint) {
		t.Errorf("%+v; want an uncertainty of %v m", field, want)
	}
	for i, want := range []Reason{MissingCoordinate, MissingName, ZeroCoordinate} {
		if set.Rejects[i].Reason != want {
			t.Errorf("%+v, want %s", set.Rejects[i], want)
		}
	}
}

// The datums' codes against PROJ's own database: each is a geographic CRS whose
// name is, or starts with, one of the words that lead to it.
func TestDatumCodes(t *testing.T) {
	byCode := map[string][]string{}
	for word, code := range datumCodes {
		byCode[code] = append(byCode[code], word)
	}
	for code, words := range byCode {
		c, err := layers.ParseCRS(code)
		if err != nil || !c.IsGeographic() {
			t.Errorf("%s: %v", code, err)
			continue
		}
		if !slices.ContainsFunc(words, func(w string) bool { return plain(c.Name()) == w || strings.HasPrefix(plain(c.Name()), w) }) {
			t.Errorf("%s is %s, called %v", code, c.Name(), words)
		}
	}
}

// A place may be named in a CRS of its own, row by row.
func TestRowsInSeveralCRSs(t *testing.T) {
	utm := crs(t, "EPSG:32617")
	const text = "scientificName,x,y,verbatimSRS,decimalLongitude,decimalLatitude,geodeticDatum\n" +
		"V,625011.7,1011151.1,EPSG:32617,,,\n" +
		"V,-79.86225339,9.14564004,EPSG:4326,,,\n" +
		"V,,,,-79.86225339,9.14564004,WGS84\n" +
		"V,625011.7,1011151.1,somewhere,-79.86225339,9.14564004,WGS84\n" +
		"V,625011.7,1011151.1,somewhere,,,\n" +
		"V,625011.7,1011151.1,,,,\n"
	set := mustRead(t, text, Source{}, utm)
	if len(set.Records) != 4 || len(set.Rejects) != 2 {
		t.Fatalf("%+v", set)
	}
	for _, r := range set.Records {
		if math.Hypot(r.Point[0]-625011.7, r.Point[1]-1011151.1) > 0.002 {
			t.Errorf("%v lies at %v", r.Source, r.Point)
		}
	}
	for _, r := range set.Rejects {
		if r.Reason != UnknownCRS {
			t.Errorf("%+v", r)
		}
	}
}

func TestNowhereInTheGridsCRS(t *testing.T) {
	set := mustRead(t, "scientificName,lon,lat\nV,1,89.9999\nV,-81,45\nV,170,0.5\n", Source{}, crs(t, "EPSG:32617"))
	if set.Rows() != 3 {
		t.Fatalf("%+v", set)
	}
	for _, r := range set.Records {
		if math.IsNaN(r.Point[0]) || math.IsInf(r.Point[0], 0) {
			t.Errorf("%+v", r)
		}
	}
}

// A local grid takes no longitude and latitude, and says so once for the source
// or row by row.
func TestLocalGrid(t *testing.T) {
	plot := crs(t, plotCRS)
	if _, err := read(t, "scientificName,lon,lat\nV,1,2\n", Source{}, plot); err == nil || !strings.Contains(err.Error(), "local CRS") {
		t.Errorf("%v", err)
	}
	set := mustRead(t, "scientificName,lon,lat,x,y\nV,1,2,,\nV,,,0,0\n", Source{}, plot)
	if len(set.Records) != 1 || len(set.Rejects) != 1 || set.Rejects[0].Reason != NoTransform {
		t.Errorf("%+v", set)
	}
}
