package project

import (
	"reflect"
	"time"

	"github.com/goccy/go-yaml/ast"
)

type area struct {
	at
	Name string `yaml:"name" need:"yes" doc:"the area's name, for titles"`
	Date day    `yaml:"date" need:"yes" doc:"reference date, as 2026-06-01; ages of records count from it, never from today"`
	Grid grid   `yaml:"grid" need:"yes" doc:"the grid on which everything is lined up"`
}

type grid struct {
	at
	CRS      string      `yaml:"crs" doc:"projected coordinate reference system in metres: a code such as EPSG:32617, or WKT"`
	Cell     *float64    `yaml:"cell" is:"(0,]" doc:"side of a cell, metres"`
	Extent   *[4]float64 `yaml:"extent" doc:"xmin, ymin, xmax, ymax in the CRS"`
	Boundary string      `yaml:"boundary" doc:"a vector source; the grid covers its extent, moved outwards to whole cells"`
	Like     string      `yaml:"like" doc:"the name of a raster layer; the grid is its own: CRS, cell and extent"`
}

// day is a date in ISO 8601.
type day struct{ time.Time }

func (v *day) fromNode(d *document, n ast.Node, path string, r rule) {
	var text string
	d.decodeText(n, reflect.ValueOf(&text).Elem(), path, r)
	if text == "" {
		return
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		d.problem(path, "write year-month-day, as 2026-06-01", "%q is no date", short(text))
		return
	}
	v.Time = t
}
