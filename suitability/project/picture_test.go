package project

import (
	"strings"
	"testing"
)

func TestPictureSectionIsChecked(t *testing.T) {
	const start = `area: {name: A, date: 2026-06-01, grid: {crs: EPSG:32631, cell: 25, extent: [0, 0, 1000, 1000]}}
layers:
  cover: {source: ., kind: classes}
  roads: {source: ., kind: features, traffic: vehicles}
  elev: {source: ., kind: quantity}
species: [{id: a, name: A, source: assumption, requisites: [{id: r, weight: 1, criteria: [{id: e, weight: 1, measure: value, layer: elev, curve: [[0, 0], [1, 1]], source: assumption}]}]}]
picture: `
	for _, c := range []struct{ section, say string }{
		{"{relief: roads}", `layer "roads" holds features, which have no relief`},
		{"{relief: elve}", "did you mean `elev`?"},
		{"{width: 100}", "100"},
		{"{context: [{layer: cover, as: water}]}", "`classes` is missing"},
		{"{context: [{layer: cover, classes: [a], as: road}]}", "which have no lines"},
		{"{context: [{layer: roads, classes: [a], as: road}]}", "which have no classes"},
		{"{context: [{layer: elev, as: road}]}", "holds numbers"},
		{"{context: [{layer: road, as: road}]}", `there is no layer "road"`},
		{"{context: [{layer: roads, as: river}]}", "river"},
		{"{context: [{layer: roads, as: path, by: class}]}", "only roads are sorted"},
		{"{context: [{layer: roads, as: road, order: [a]}]}", "`order` needs `by`"},
		{"{context: [{layer: roads, as: road, by: class, order: [a, a]}]}", "named twice"},
	} {
		r := readProject("tussock.yaml", start+c.section)
		err := r.err()
		if err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %v; want a problem with %q", c.section, err, c.say)
		}
	}
	r := readProject("tussock.yaml", start+"{width: 1200, relief: elev}")
	if err := r.err(); err != nil {
		t.Fatal(err)
	}
	p := r.picture()
	if p.Width != 1200 || p.Relief != "elev" || len(p.Context) != 1 || p.Context[0].Layer != "roads" || p.Context[0].As != "road" {
		t.Errorf("%+v", p)
	}
}
