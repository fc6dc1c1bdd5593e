package project

import (
	"tussock/layers/records"
)

// cleaning is what the tests of records need to be told.
type cleaning struct {
	at
	Margin    *float64    `yaml:"margin" is:"[0,1000000]" doc:"how far outside the area a record may lie, metres; 2000 where nothing is said (an assumption)"`
	Water     waterCells  `yaml:"water" doc:"open water; a land animal's record well inside it is held"`
	Elevation string      `yaml:"elevation" doc:"the layer of elevations; a record above a species' elevation_max is held"`
	Centroids string      `yaml:"centroids" of:"places|none" doc:"places: a record at the middle of a place of the gazetteer only stands for it, and one at a place of the kind office is held (so it is where nothing is said); or none"`
	Office    *[2]float64 `yaml:"office" doc:"x and y, in the grid's CRS, of where records are written up; a record there is held"`
	Thin      *float64    `yaml:"thin" is:"(0,1000000]" doc:"side of the cells of which one record a year is enough, metres; the grid's where nothing is said"`
	Current   *int        `yaml:"current" is:"[1,500]" doc:"years up to which a record counts as now; 10 where nothing is said (an assumption)"`
	Recent    *int        `yaml:"recent" is:"[1,500]" doc:"years up to which it is recent history, which counts half; 25 where nothing is said (an assumption)"`
}

type waterCells struct {
	at
	Layer   string `yaml:"layer" need:"yes" doc:"a layer of classes"`
	Classes []word `yaml:"classes" need:"yes" few:"1" doc:"its classes of open water"`
}

// checkCleaning tests the section by what the file alone tells.
func (r *reading) checkCleaning() {
	c := &r.file.Cleaning
	if c.doc == nil {
		return
	}
	if l := r.drawn(c.Water.at, "layer", c.Water.Layer); l != nil && l.Kind != "classes" {
		c.doc.problem(join(c.Water.path, "layer"), "name a layer of classes", "layer %q holds %s, which have no class of water", c.Water.Layer, l.Kind)
	}
	if l := r.drawn(c.at, "elevation", c.Elevation); l != nil && l.Kind != "quantity" {
		c.doc.problem(join(c.path, "elevation"), "name a layer of elevations", "layer %q holds %s, which are no elevations", c.Elevation, l.Kind)
	}
	if c.Centroids == "places" && r.file.Places.Source == "" {
		c.doc.problem(join(c.path, "centroids"), "add places: {source: places.geojson}, or say none", "the project has no places")
	}
	if current, recent := c.years(); recent < current {
		c.doc.problem(c.path, "", "recent history ends after %d years, before the %d years that count as now", recent, current)
	}
}

// years are how long a record is current, and recent history.
func (c *cleaning) years() (current, recent int) {
	current, recent = records.DefaultCurrent, records.DefaultRecent
	if c.Current != nil {
		current = *c.Current
	}
	if c.Recent != nil {
		recent = *c.Recent
	}
	return current, recent
}
