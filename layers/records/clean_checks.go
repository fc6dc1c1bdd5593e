package records

import (
	"time"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// The assumptions that stand where a project says nothing (own choices; no
// source).
const (
	defaultMarginM  = 2000.0 // how far outside the area a record may lie
	DefaultCurrent  = 10     // years that count as now
	DefaultRecent   = 25     // years that count as recent history
	defaultEffectM  = 1000.0 // a species' scale of effect, where its profile names none
	defaultCentreM  = 500.0  // what a record at a named place's middle should state at least
	waterToleranceM = 50.0   // how far into water a land animal's record may lie, at least
	pairedM         = 50.0   // side of the cell in which two records are one sighting, at least
)

// Checks are what the tests cannot know by themselves. Fields that are left
// zero leave their test with nothing to find, or stand for the assumption above.
type Checks struct {
	Area    layers.Grid
	MarginM *float64 // how far outside the area a record may lie; nil is 2000

	// Reference is the day that ages count from; zero makes every record
	// current.
	Reference       time.Time
	Current, Recent int // years; 0 are DefaultCurrent and DefaultRecent

	Centres []NamedPlace // towns, sites, offices: places that a record's own place may only stand for
	ThinM   float64      // side of the cells of which one record a year is enough; 0 is the area's cell

	// Water tells whether everything within a radius of a place is open water.
	// Elevation is the lowest ground within a radius, and whether it is known.
	Water     func(at orb.Point, radius float64) (bool, error)
	Elevation func(at orb.Point, radius float64) (lowest float64, known bool, err error)

	// Species is what a project knows of a species by the name that a record
	// gives it; nil where it has no such species.
	Species func(name string) *Expectation
}

// NamedPlace is a place of a gazetteer.
type NamedPlace struct {
	Name    string
	At      orb.Point // in the area's CRS
	RadiusM float64   // how far the place reaches around it; 0 is 500
	Office  bool      // records are written up there, of animals from anywhere
}

// Expectation is what is known of a species.
type Expectation struct {
	Name         string   // by which all its records go
	InWater      bool     // it is met in open water
	ElevationMax *float64 // metres
	EffectM      float64  // the scale at which it feels its surroundings; 0 is 1000

	// InSeason tells whether it is met in an ISO week, 1 to 53; nil where nothing
	// is known of its season.
	InSeason func(week int) bool
	// Range is what the documented range says of a place, at its best within a
	// radius; nil where nobody has drawn one.
	Range func(at orb.Point, radius float64) (RangeWord, error)
}

// RangeWord is what a documented range says of a place.
type RangeWord uint8

// The words.
const (
	RangeInside  RangeWord = iota // in it, at its edge, or nobody has drawn it
	RangeOnce                     // once here, not lately
	RangeOutside                  // outside it and its edge
)

// complete puts the assumptions in.
func (c *Checks) complete() {
	if c.MarginM == nil {
		margin := defaultMarginM
		c.MarginM = &margin
	}
	if c.Current == 0 {
		c.Current = DefaultCurrent
	}
	if c.Recent == 0 {
		c.Recent = DefaultRecent
	}
	if c.ThinM == 0 {
		c.ThinM = c.Area.Cell
	}
}

// bound is the area; the zero Area has none.
func (c *Checks) bound() (orb.Bound, bool) {
	if c.Area.Cols <= 0 || c.Area.Rows <= 0 {
		return orb.Bound{}, false
	}
	return c.Area.Bound(c.Area.Window()), true
}
