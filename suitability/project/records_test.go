package project

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tussock/layers/records"
)

// TestWithoutAuthor: names as the International Code of Zoological Nomenclature
// has them (articles 5, 28 and 51), made up but for the form.
func TestWithoutAuthor(t *testing.T) {
	for name, want := range map[string]string{
		"Vipera berus":                     "Vipera berus",
		"Vipera berus (Linnaeus, 1758)":    "Vipera berus",
		"Vipera berus Linnaeus":            "Vipera berus",
		"Natrix natrix helvetica Lacépède": "Natrix natrix helvetica",
		"Éla éla Ébert":                    "Éla éla",
		"VIPERA BERUS (LINNAEUS, 1758)":    "VIPERA BERUS",
		"Bufo bufo × Bufotes viridis":      "Bufo bufo ×",
		"Vipera":                           "Vipera",
		"":                                 "",
	} {
		if got := withoutAuthor(name); got != want {
			t.Errorf("%q: %q", name, got)
		}
	}
}

// ground writes a square of 40 by 40 cells of 50 m: a lake of 16 by 16 cells in
// the south-west (code 1), land elsewhere (2), and ground that rises 1 m a row
// from the south. Its south-west corner is 500000, 6206000.
func ground(t *testing.T, folder string) {
	t.Helper()
	head := "ncols 40\nnrows 40\nxllcorner 500000\nyllcorner 6206000\ncellsize 50\n"
	var cover, elevation strings.Builder
	for row := range 40 {
		for col := range 40 {
			code := 2
			if col < 16 && row >= 24 {
				code = 1
			}
			fmt.Fprintf(&cover, "%d ", code)
			fmt.Fprintf(&elevation, "%d ", 39-row)
		}
		cover.WriteString("\n")
		elevation.WriteString("\n")
	}
	const prj = `PROJCS["UTM 31N",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",3],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1]]`
	for name, text := range map[string]string{
		"cover.asc": head + cover.String(), "cover.prj": prj, "elevation.asc": head + elevation.String(), "elevation.prj": prj,
		"places.geojson": utmFeatures(`{"name": "Oakley", "kind": "village"}`, `"Point", "coordinates": [501234, 6206789]`,
			`{"name": "The hall", "kind": "office"}`, `"Point", "coordinates": [501456, 6206987]`),
		"ranges.geojson": utmFeatures(`{"species": "bufo bufo", "status": "extant"}`, `"Polygon", "coordinates": [[[500000,6206000],[501500,6206000],[501500,6208000],[500000,6208000],[500000,6206000]]]`,
			`{"species": "bufo bufo", "status": "historic"}`, `"Polygon", "coordinates": [[[501800,6206000],[502000,6206000],[502000,6208000],[501800,6208000],[501800,6206000]]]`),
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// utmFeatures is GeoJSON of pairs of properties and geometry, in UTM 31N.
func utmFeatures(pairs ...string) string {
	var features []string
	for i := 0; i < len(pairs); i += 2 {
		features = append(features, `{"type": "Feature", "properties": `+pairs[i]+`, "geometry": {"type": `+pairs[i+1]+`}}`)
	}
	return `{"type": "FeatureCollection", "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32631"}}, "features": [` + strings.Join(features, ",") + `]}`
}

const lakeProject = `
area: {name: a lake, date: 2026-06-01, grid: {like: cover}}
layers:
  cover: {source: cover.asc, kind: classes, classes: {1: lake, 2: land}}
  elevation: {source: elevation.asc, kind: quantity}
records: {source: records.csv, crs: EPSG:32631}
places: {source: places.geojson}
ranges: {source: ranges.geojson}
cleaning: {margin: 100, water: {layer: cover, classes: [lake]}, elevation: elevation, office: [501111, 6206222]}
species:
  - id: toad
    name: Common toad
    scientific: Bufo bufo
    source: assumption
    elevation_max: 30
    season: {weeks: [8, 44]}
    movement: {effect: 300}
    range: {edge: 100}
    requisites:
      - {id: r, criteria: [{id: c, measure: value, layer: elevation, curve: [[0, 0], [1, 1]]}]}
  - id: snake
    name: Grass snake
    source: assumption
    in_water: true
    requisites:
      - {id: r, criteria: [{id: c, measure: value, layer: elevation, curve: [[0, 0], [1, 1]]}]}
`

// TestCleaningKnowsTheProject: each record is held or let pass by one thing that
// only the project can tell the tests.
func TestCleaningKnowsTheProject(t *testing.T) {
	folder := t.TempDir()
	ground(t, folder)
	cases := []struct{ row, flags, name string }{
		{"Bufo bufo,501010,6206510,10,2025-05-02", "", "Bufo bufo"},
		{"bufo BUFO (Linnaeus 1758),501020,6206610,10,2025-05-02", "", "Bufo bufo"},
		{"common toad,501030,6206720,10,2025-05-02", "", "Bufo bufo"},
		{"Rana strange,501040,6206810,10,2025-12-24", "", "Rana strange"},
		{"Bufo bufo,500333,6206333,10,2025-05-02", "water", "Bufo bufo"},
		{"Bufo bufo,500333,6206333,600,2024-05-03", "scale", "Bufo bufo"},
		{"Bufo bufo,500788,6206333,10,2025-05-02", "", "Bufo bufo"},
		{"Grass snake,500333,6206433,10,2025-05-02", "", "snake"},
		{"Bufo bufo,501044,6207611,10,2025-05-02", "elevation", "Bufo bufo"},
		{"Bufo bufo,501051,6207611,90,2024-05-02", "", "Bufo bufo"},
		{"Bufo bufo,501060,6206910,10,2025-12-24", "season", "Bufo bufo"},
		{"Bufo bufo,501234.2,6206789,10,2025-05-02", "centre", "Bufo bufo"},
		{"Bufo bufo,501456,6206987,10,2025-05-02", "centre", "Bufo bufo"},
		{"Bufo bufo,501111,6206222,10,2025-05-02", "centre", "Bufo bufo"},
		{"Bufo bufo,501570,6206310,10,2025-05-02", "", "Bufo bufo"},      // the range's edge
		{"Bufo bufo,501670,6206410,10,2025-05-02", "range", "Bufo bufo"}, // beyond it
		{"Bufo bufo,501670,6206521,200,2025-05-02", "", "Bufo bufo"},     // perhaps not beyond it
		{"Bufo bufo,501870,6206410,10,2025-05-02", "range", "Bufo bufo"}, // once, but not lately
		{"Bufo bufo,501870,6206610,10,2004-05-02", "", "Bufo bufo"},      // when it was still there
		{"Rana strange,501120,6205880,10,2025-05-02", "impossible", "Rana strange"},
	}
	text := "scientificName,x,y,coordinateUncertaintyInMeters,eventDate\n"
	for _, c := range cases {
		text += c.row + "\n"
	}
	for name, text := range map[string]string{"records.csv": text, FileName: lakeProject} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	o, err := Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	done, err := o.Cleaning(context.Background())
	if err != nil || len(done.Records) != len(cases) {
		t.Fatalf("%d records, %v", len(done.Records), err)
	}
	for i, c := range cases {
		var flags []string
		for _, f := range done.Records[i].Flags() {
			flags = append(flags, string(f.Test))
		}
		if got := strings.Join(flags, " "); got != c.flags || done.Records[i].Name != c.name {
			t.Errorf("%s: flagged by %q, name %q", c.row, got, done.Records[i].Name)
		}
	}
	if again, _ := o.Cleaning(context.Background()); len(again.Records) != len(cases) {
		t.Errorf("cleaned again: %d", len(again.Records))
	}
}

// TestCleaningAssumesNothing: without a section the tests that need the ground
// find nothing, and those that need none find what they find.
func TestCleaningAssumesNothing(t *testing.T) {
	folder := t.TempDir()
	ground(t, folder)
	text := "scientificName,x,y,coordinateUncertaintyInMeters,eventDate\nBufo bufo,500333,6206333,10,2025-05-02\nBufo bufo,500333,6206333,,2025-05-12\n"
	section := lakeProject[strings.Index(lakeProject, "cleaning:"):strings.Index(lakeProject, "species:")]
	for name, text := range map[string]string{"records.csv": text, FileName: strings.Replace(lakeProject, section, "", 1)} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	o, err := Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	done, err := o.Cleaning(context.Background())
	if err != nil || done.Records[0].Use != records.Fine || done.Records[1].Use != records.Coarse {
		t.Errorf("%+v, %v", done, err)
	}
}
