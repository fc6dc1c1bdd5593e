package land

import (
	"github.com/paulmach/orb"

	"tussock/layers"
)

// The size of the district: 24 by 18 km.
const (
	Cols = 960
	Rows = 720
	Cell = 25.0 // m
)

// The corner that the grid is counted from, in UTM 31N.
const (
	west  = 500000 - Cols*Cell/2
	north = 6206080 + Rows*Cell/2
)

// District is a whole landscape. Rasters are row by row from the north-west.
// Coordinates are metres in UTM zone 31N.
type District struct {
	Seed uint64
	Grid layers.Grid

	Elevation []float32 // m above the sea
	HeatLoad  []float32 // index of warmth, none of unit
	Canopy    []float32 // share of the ground under trees, 0 to 1
	Cover     []Cover
	Soil      []Soil

	Ponds     []Pond
	Roads     []Road
	Tracks    []Line
	Railway   []Line // the disused line
	River     []Line // from the source downwards
	Canals    []Line
	Brooks    []Line // downwards
	Dykes     []Line
	Farmyards []orb.Point
	Towns     []Town
	Places    []Place // towns too
}

// Line is a named line on the ground.
type Line struct {
	Name string
	Path orb.LineString
}

// RoadClass is the rank of a road.
type RoadClass string

// The ranks of roads.
const (
	Trunk  RoadClass = "trunk"
	Main   RoadClass = "main"
	Lane   RoadClass = "lane"
	Street RoadClass = "street"
)

// Road is a stretch of road.
type Road struct {
	Name           string
	Class          RoadClass
	VehiclesPerDay int
	Path           orb.LineString
}

// Town is a town or a village.
type Town struct {
	Name    string
	People  int
	At      orb.Point // its middle
	Outline orb.Polygon
}

// Place is a place with a name, as a gazetteer lists it.
type Place struct {
	Name    string
	Kind    string // town, village, heath, hill, fen, carr, plantation, pits, river, railway, common words
	People  int    // of towns and villages
	At      orb.Point
	Outline orb.Polygon // empty where the place has none
}

// Permanence is how often a pond dries.
type Permanence string

// The kinds of permanence, from never to most years.
const (
	Permanent Permanence = "permanent"
	SomeYears Permanence = "some_years"
	MostYears Permanence = "most_years"
)

// Fish is what is known of fish in a pond.
type Fish string

// What may be known of fish.
const (
	NoFish       Fish = "none"
	PossibleFish Fish = "possible"
	PresentFish  Fish = "present"
)

// Pond is a pond or pool.
type Pond struct {
	ID         string
	Kind       string // mere, oxbow, heath, hill, pit, fen, carr, farm, wood, plantation, washland, village, railway or garden
	At         orb.Point
	Outline    orb.Polygon
	AreaM2     float64
	Permanence Permanence
	Fish       Fish
	ShadePct   float64 // of the water's edge under trees or scrub, 0 to 100
	PH         float64
}

// Index is where a cell stands in the rasters.
func (d *District) Index(col, row int) int { return row*Cols + col }

// CellOf is the cell that holds a point; it may lie outside the grid.
func (d *District) CellOf(p orb.Point) (col, row int) { return d.Grid.CellAt(p) }

// PlaceNamed finds a place by its name.
func (d *District) PlaceNamed(name string) (Place, bool) {
	for _, p := range d.Places {
		if p.Name == name {
			return p, true
		}
	}
	return Place{}, false
}
