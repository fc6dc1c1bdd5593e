package project

import (
	"context"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
)

// pondside is a small project: a slope in the middle of the North Sea, three
// ponds, a few records, and a hunter that is named before its prey.
var pondside = map[string]string{
	FileName: `
area: {name: a, date: 2026-06-01, grid: {crs: EPSG:32631, cell: 25, extent: [500000, 6206080, 500500, 6206580]}}
layers:
  elev: {source: elev.asc, kind: quantity}
  ponds: {source: ponds.geojson, kind: features}
records: {source: records.csv}
species:
  - file: hunter.yaml
  - file: newt.yaml
`,
	"hunter.yaml": `
id: hunter
scientific: Natrix nusquam
source: assumption
requisites:
  - id: food
    criteria:
      - {id: prey, measure: species, species: [newt], radius: 100, curve: [[0, 0.1], [1, 1]]}
`,
	"newt.yaml": `
id: newt
scientific: Triturus nusquam
source: assumption
requisites:
  - id: water
    criteria:
      - id: pool
        weight: 0.75
        measure: nearby best
        layer: ponds
        fade: [[0, 1], [50, 1], [250, 0]]
        score:
          attributes:
            area_m2: {curve: [[10, 0.2], [500, 1]]}
            permanence: {table: {permanent: 0.25, some_years: 1, somtimes: 0}}
      - {id: known, weight: 0.25, measure: records, radius: 200, half: 2}
`,
	"elev.asc": "ncols 2\nnrows 2\nxllcorner 499000\nyllcorner 6205000\ncellsize 1500\n1 2\n3 4\n",
	"elev.prj": `PROJCS["WGS 84 / UTM zone 31N",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",3],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1]]`,
	"ponds.geojson": `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"area_m2":255,"permanence":"some_years"},"geometry":{"type":"Point","coordinates":[3.004,56.002]}},
{"type":"Feature","properties":{"area_m2":500,"permanence":null},"geometry":{"type":"Point","coordinates":[3.0005,56.0005]}},
{"type":"Feature","properties":{"area_m2":null,"permanence":"permanent"},"geometry":{"type":"Point","coordinates":[3.0075,56.0005]}}]}`,
	"records.csv": `occurrenceID,basisOfRecord,scientificName,eventDate,decimalLatitude,decimalLongitude,coordinateUncertaintyInMeters
1,HumanObservation,Triturus nusquam,2026-04-03,56.002,3.004,10
2,HumanObservation,Triturus nusquam,2025-05-03,56.0021,3.0052,10
3,HumanObservation,Natrix nusquam,2025-05-03,56.0021,3.0042,10
`,
}

// writePondside writes the project, with some of its files changed.
func writePondside(t *testing.T, change map[string]string) string {
	t.Helper()
	folder := t.TempDir()
	files := maps.Clone(pondside)
	maps.Copy(files, change)
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

func openPondside(t *testing.T, change map[string]string) *Opened {
	t.Helper()
	o, err := Open(context.Background(), writePondside(t, change))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { o.Close() })
	return o
}

// measureAt is a measure at the cell of a place.
func measureAt(t *testing.T, o *Opened, m layers.Measure, lon, lat float64) float64 {
	t.Helper()
	transform, err := layers.NewTransform(layers.WGS84(), o.Grid.CRS)
	if err != nil {
		t.Fatal(err)
	}
	defer transform.Close()
	xs, ys := []float64{lon}, []float64{lat}
	if err := transform.Points(xs, ys); err != nil {
		t.Fatal(err)
	}
	col, row := o.Grid.CellAt(orb.Point{xs[0], ys[0]})
	b, err := m.Eval(o.Layers, layers.Window{Col: col, Row: row, Cols: 1, Rows: 1})
	if err != nil {
		t.Fatal(err)
	}
	return float64(b.Value(col, row))
}

// A hunter is built with its prey, though the file names it first; ponds score
// as worked by hand.
func TestOpenBuildsChainsInOrder(t *testing.T) {
	o := openPondside(t, nil)
	hunter, newt := o.Subjects[0], o.Subjects[1]
	if hunter.Profile.ID != "hunter" || newt.Profile.ID != "newt" {
		t.Fatalf("the order is %s, %s", hunter.Profile.ID, newt.Profile.ID)
	}
	near, ok := hunter.Profile.Measures()[0].(suitability.NearbySpecies)
	if !ok || len(near.Others) != 1 || near.Others[0] != newt || near.Radius != 100 || near.Reach() != 350 {
		t.Fatalf("near %+v", near)
	}
	pool, known := newt.Profile.Measures()[0], newt.Profile.Measures()[1].(layers.PointKernel)
	for _, c := range []struct{ lon, lat, want float64 }{
		{3.004, 56.002, math.Sqrt(0.6 * 1)}, // 0.2 + 0.8·245/490 and 1
		{3.0005, 56.0005, 1},                // nothing is known of its permanence
		{3.0075, 56.0005, 0.25},             // nothing of its area
	} {
		if got := measureAt(t, o, pool, c.lon, c.lat); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("the pond at %g %g scores %.7f, not %.7f", c.lon, c.lat, got, c.want)
		}
	}
	if len(known.Points) != 2 || known.Of != "newt" {
		t.Errorf("records of the newt: %+v", known)
	}
	said := ""
	for _, w := range o.Warnings {
		said += w.Error()
	}
	if !strings.Contains(said, `newt.yaml:16:76: no feature of layer "ponds" has "somtimes" as permanence`) {
		t.Errorf("warnings: %s", said)
	}
}

// A species without a scientific name has its records under its id.
func TestRecordsByID(t *testing.T) {
	o := openPondside(t, map[string]string{
		"newt.yaml":   strings.Replace(pondside["newt.yaml"], "scientific: Triturus nusquam\n", "", 1),
		"records.csv": strings.ReplaceAll(pondside["records.csv"], "Triturus nusquam", "newt"),
	})
	if known := o.Subjects[1].Profile.Measures()[1].(layers.PointKernel); len(known.Points) != 2 {
		t.Errorf("records of the newt: %+v", known)
	}
}

// Whoever looks for a more sensitive species is told what that does to its map.
func TestSensitivePreyIsSaid(t *testing.T) {
	o := openPondside(t, map[string]string{"newt.yaml": pondside["newt.yaml"] + "sensitivity: extreme\n"})
	said := ""
	for _, w := range o.Warnings {
		said += w.Error()
	}
	for _, want := range []string{"hunter.yaml:8:48: ", `"newt" is more sensitive (extreme) than "hunter" (none)`, "hint: "} {
		if !strings.Contains(said, want) {
			t.Errorf("warnings: %s\n  do not say %q", said, want)
		}
	}
}

// A gazetteer that cannot be read is said once, however many profiles look at
// records.
func TestCleaningThatFailsIsSaidOnce(t *testing.T) {
	twice := strings.Replace(pondside["newt.yaml"], "      - {id: known,", "      - {id: again, weight: 0, measure: records, radius: 100, half: 2}\n      - {id: known,", 1)
	_, err := Open(context.Background(), writePondside(t, map[string]string{
		FileName:    pondside[FileName] + "places: {source: elev.prj}\n",
		"newt.yaml": twice,
	}))
	if err == nil || strings.Count(err.Error(), "cannot open") != 1 || !strings.Contains(err.Error(), "tussock.yaml:10:18: ") {
		t.Errorf("%v", err)
	}
}

// What a hunter's map depends on: its prey's profile, records and range.
func TestPreyChangesItsHuntersMap(t *testing.T) {
	t.Parallel()
	hash := func(change map[string]string) string { return openPondside(t, change).Subjects[0].Profile.Hash() }
	before := hash(nil)
	if hash(nil) != before {
		t.Error("one project gives two hashes")
	}
	for what, change := range map[string]map[string]string{
		"curve":   {"newt.yaml": strings.Replace(pondside["newt.yaml"], "[500, 1]", "[600, 1]", 1)},
		"fade":    {"newt.yaml": strings.Replace(pondside["newt.yaml"], "[250, 0]", "[300, 0]", 1)},
		"word":    {"newt.yaml": strings.Replace(pondside["newt.yaml"], "some_years: 1", "some_years: 0.9", 1)},
		"half":    {"newt.yaml": strings.Replace(pondside["newt.yaml"], "half: 2", "half: 3", 1)},
		"records": {"records.csv": strings.Replace(pondside["records.csv"], "56.0021,3.0052", "56.0021,3.0051", 1)},
	} {
		if hash(change) == before {
			t.Errorf("%s: the hunter's hash stays", what)
		}
	}
	own := map[string]string{"records.csv": strings.Replace(pondside["records.csv"], "56.0021,3.0042", "56.0031,3.0042", 1)}
	if hash(own) != before {
		t.Error("a record of the hunter, which its profile does not look at, changes its map")
	}
}

// A circle of three is named whole, and once.
func TestCircleOfThree(t *testing.T) {
	looks := func(id, other string) string {
		return strings.NewReplacer("id: hunter", "id: "+id, "Natrix nusquam", id, "[newt]", "["+other+"]").Replace(pondside["hunter.yaml"])
	}
	_, err := Open(context.Background(), writePondside(t, map[string]string{
		FileName:      pondside[FileName] + "  - file: toad.yaml\n",
		"hunter.yaml": looks("hunter", "newt"), "newt.yaml": looks("newt", "toad"), "toad.yaml": looks("toad", "hunter"),
	}))
	if err == nil || strings.Count(err.Error(), "in a circle") != 1 {
		t.Fatalf("%v", err)
	}
	for _, want := range []string{"circle: hunter → newt (", "hunter.yaml:8:48) → toad (", "newt.yaml:8:48) → hunter (", "toad.yaml:8:48)"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%v\n  does not say %q", err, want)
		}
	}
}

// Below staff, records of a sensitive species leave every profile as it is, and
// so every key: its own, that of its hunter, and that of another species whose
// records lie in the very same places, whatever the tests of records make of it.
func TestRecordsOfSensitiveSpeciesReachNoKeyBelowStaff(t *testing.T) {
	t.Parallel()
	toad := strings.NewReplacer("id: newt", "id: toad", "Triturus", "Bufo").Replace(pondside["newt.yaml"])
	keys := func(a layers.Audience, more string) (hashes []string) {
		o := openPondside(t, map[string]string{
			FileName:      strings.Replace(pondside[FileName], "  - file: newt.yaml\n", "  - file: newt.yaml\n  - file: toad.yaml\n", 1),
			"newt.yaml":   pondside["newt.yaml"] + "sensitivity: low\n",
			"toad.yaml":   toad,
			"records.csv": pondside["records.csv"] + "4,HumanObservation,Bufo nusquam,2026-04-03,56.002,3.004,10\n5,HumanObservation,Bufo nusquam,2026-04-03,56.001,3.004,\n" + more,
		})
		for _, s := range o.Subjects {
			hashes = append(hashes, s.For(a).Profile.Hash())
		}
		return hashes
	}
	more := ""
	for day := range 30 {
		for i, place := range []string{"56.002,3.004,10", "56.001,3.004,"} {
			more += fmt.Sprintf("%d%d,HumanObservation,Triturus nusquam,2025-06-%02d,%s\n", 100+day, i, day+1, place)
		}
	}
	for _, a := range []layers.Audience{layers.Public, layers.Volunteer, layers.Partner} {
		if before, after := keys(a, ""), keys(a, more); !slices.Equal(before, after) {
			t.Errorf("%v: %v became %v", a, before, after)
		}
	}
	if before, after := keys(layers.Staff, ""), keys(layers.Staff, more); before[0] == after[0] || before[1] == after[1] || before[2] != after[2] {
		t.Errorf("staff: %v became %v", before, after)
	}
}

func TestChainsThatCannotBe(t *testing.T) {
	t.Parallel()
	back := strings.Replace(pondside["newt.yaml"], "{id: known, weight: 0.25, measure: records, radius: 200, half: 2}",
		"{id: fear, weight: 0.25, measure: species, species: [hunter], radius: 200, curve: [[0, 1], [1, 0]]}", 1)
	for _, c := range []struct {
		file, text string
		want       []string
	}{
		{"newt.yaml", back, []string{"hunter.yaml:8:48: ", "hunter → newt (", "hunter.yaml:8:48) → hunter (", "newt.yaml:17:62)", "hint: one of them must do without the other"}},
		{"newt.yaml", strings.Replace(pondside["newt.yaml"], "area_m2", "area_m", 1), []string{"newt.yaml:15:13: ", `have no attribute "area_m"`, "did you mean `area_m2`?"}},
		{"hunter.yaml", strings.Replace(pondside["hunter.yaml"], "[newt]", "[newts]", 1), []string{"hunter.yaml:8:48: ", `no species "newts"`, "did you mean `newt`?"}},
		{"hunter.yaml", strings.Replace(pondside["hunter.yaml"], "[newt]", "[hunter]", 1), []string{"hunter.yaml:8:48: ", "looks for itself"}},
	} {
		_, err := Open(context.Background(), writePondside(t, map[string]string{c.file: c.text}))
		for _, want := range c.want {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%v\n  does not say %q", err, want)
			}
		}
	}
}
