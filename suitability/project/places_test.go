package project

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

func gazetteer(t *testing.T, features string) Source {
	t.Helper()
	file := filepath.Join(t.TempDir(), "places.geojson")
	text := `{"type": "FeatureCollection", "features": [` + features + `]}`
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return Source{File: file, Fields: map[string]string{"name": "nom"}}
}

func readSome(t *testing.T, s Source) ([]Place, error) {
	t.Helper()
	utm, err := layers.ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	return readPlaces(context.Background(), s, utm)
}

// TestPlacesAreRead: 3° E is the central meridian of UTM zone 31, whose easting
// is 500000 by definition, on any latitude; 0° N is northing 0.
func TestPlacesAreRead(t *testing.T) {
	places, err := readSome(t, gazetteer(t, `
{"type": "Feature", "properties": {"nom": " Nowhere ", "kind": "town", "people": 9400, "rank": 1}, "geometry": {"type": "Point", "coordinates": [3, 0]}},
{"type": "Feature", "properties": {"nom": "The Square", "kind": null}, "geometry": {"type": "Polygon", "coordinates": [[[2, -1], [4, -1], [4, 1], [2, 1], [2, -1]]]}}`))
	if err != nil {
		t.Fatal(err)
	}
	want := []Place{{Name: "Nowhere", Kind: "town", People: 9400, Rank: 1, At: orb.Point{500000, 0}}, {Name: "The Square", At: orb.Point{500000, 0}}}
	for i, p := range places {
		d := math.Hypot(p.At[0]-want[i].At[0], p.At[1]-want[i].At[1])
		if p.At = want[i].At; p != want[i] || d > 0.01 {
			t.Errorf("got %+v, %g m off; want %+v", p, d, want[i])
		}
	}
	if len(places) != 2 {
		t.Errorf("%d places", len(places))
	}
}

// TestPlacesThatCannotBe: each mistake names the source, the feature and what
// is wrong with it.
func TestPlacesThatCannotBe(t *testing.T) {
	for wrong, words := range map[string]string{
		`{"type": "Feature", "properties": {"nom": " "}, "geometry": {"type": "Point", "coordinates": [3, 0]}}`:                   "it has no name",
		`{"type": "Feature", "properties": {"nom": "a"}, "geometry": null}`:                                                       "it is nowhere",
		`{"type": "Feature", "properties": {"nom": "a", "people": "many"}, "geometry": {"type": "Point", "coordinates": [3, 0]}}`: `people is "many"`,
		`{"type": "Feature", "properties": {"nom": "a", "rank": 1.5}, "geometry": {"type": "Point", "coordinates": [3, 0]}}`:      `rank is "1.5"`,
	} {
		s := gazetteer(t, wrong)
		_, err := readSome(t, s)
		if err == nil || !strings.Contains(err.Error(), words) || !strings.Contains(err.Error(), s.File) || !strings.Contains(err.Error(), "feature 0") {
			t.Errorf("%s: %v", words, err)
		}
	}
	if _, err := readSome(t, Source{File: "no such file"}); err == nil {
		t.Error("a missing file is no gazetteer")
	}
	if places, err := readSome(t, Source{}); err != nil || places != nil {
		t.Error(places, err)
	}
}
