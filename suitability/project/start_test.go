package project

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// started runs Start on a folder, checks what it wrote by the front door, and
// gives the text.
func started(t *testing.T, folder string, wants ...string) string {
	t.Helper()
	text, err := Start(folder)
	if err != nil {
		t.Fatalf("%s: %v", folder, err)
	}
	again, err := Start(folder)
	if err != nil || string(again) != string(text) {
		t.Errorf("%s: a second start wrote something else (%v)", folder, err)
	}
	for _, want := range wants {
		if !strings.Contains(string(text), want) {
			t.Errorf("%s: the file lacks %q:\n%s", folder, want, text)
		}
	}
	return string(text)
}

func TestStartOnRealFolders(t *testing.T) {
	t.Parallel()
	started(t, "../../testdata/bei/utm_nominal",
		"grid: {like: elev}", "source: grad.tif", "kind: quantity", "scientific: Beilschmiedia pendula",
		"source: occurrences.csv  # 3604 records", "source: assumption", "kind: features")
	started(t, "../../testdata/class-raster",
		"kind: classes", "#   11: Open Water", "0: class_0", "classes: {Open Water: 1}", "measure: share")
}

// plain writes a folder of small files: an elevation in degrees, a raster of few
// numbers without names, ranges with a status, roads, a table, and things that
// cannot be used.
func plainFolder(t *testing.T) string {
	folder := t.TempDir()
	for name, text := range map[string]string{
		"cover.asc": "ncols 3\nnrows 2\nxllcorner -3.0\nyllcorner 54.0\ncellsize 0.01\nNODATA_value -9999\n1 2 3\n-9999 5 1\n",
		"cover.prj": `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`,
		"ranges.geojson": `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"sci_name":"Vipera berus","status":"extant"},
			"geometry":{"type":"Polygon","coordinates":[[[-3,54],[-2.98,54],[-2.98,54.02],[-3,54.02],[-3,54]]]}}]}`,
		"my roads.geojson": `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"v":100},
			"geometry":{"type":"LineString","coordinates":[[-3,54],[-2.98,54.01]]}}]}`,
		"seen.csv":     "scientificName,decimalLongitude,decimalLatitude\nVipera berus,-2.99,54.01\n",
		"shopping.csv": "milk,bread\n1,2\n",
		"broken.tif":   "not a raster",
		"notes.md":     "notes",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

func TestStartOnAPlainFolder(t *testing.T) {
	t.Parallel()
	text := started(t, plainFolder(t),
		"crs: EPSG:32630", "cell: 1000", // UTM zone 30 holds 3° W to 0°; 0.01° is 1.1 km
		"kind: classes", "5: class_5", "classes: {class_1: 1}",
		"my_roads:", "source: my roads.geojson",
		"ranges:", "fields: {species: sci_name, status: status}",
		"id: vipera_berus", "source: seen.csv  # 1 records",
		"# left out: broken.tif", "# left out: shopping.csv")
	if strings.Contains(text, "notes.md") {
		t.Errorf("notes are no data:\n%s", text)
	}
}

func TestStartNeedsSomething(t *testing.T) {
	if _, err := Start(t.TempDir()); !errors.Is(err, ErrNothingFound) {
		t.Errorf("%v", err)
	}
	if _, err := Start(filepath.Join(t.TempDir(), "nowhere")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%v", err)
	}
}
