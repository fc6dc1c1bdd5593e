package suitability

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"tussock/layers"
)

const (
	// OccupancyCell is the side, in metres, of the squares that occupancy is
	// counted in (IUCN Standards and Petitions Committee 2024, Guidelines for
	// Using the IUCN Red List Categories and Criteria, section 4.10: 2 km).
	OccupancyCell = 2000.0
	// originSteps is into how many parts a square's side is cut when its origin
	// is moved: 8 by 8 origins.
	originSteps = 8
)

// RangeExtent says how widely known places lie: local figures that depend on how
// many records there are and where the squares begin. They are no measure of
// threat, and no category is ever derived from them.
type RangeExtent struct {
	Places int // distinct places
	// Cells are the occupied squares of 2 by 2 km on a grid from the CRS'
	// origin, each square closed at its low sides; CellsLeast and CellsMost are
	// their least and greatest number when the origin is moved in 64 steps of
	// 250 m (8 east by 8 north).
	Cells, CellsLeast, CellsMost int
	// Hull is the area of the smallest convex polygon around the places, m² on
	// the ellipsoid; 0 for places on a line.
	Hull float64
}

// Occupancy is the area of occupancy in km²: occupied squares × 4.
func (e RangeExtent) Occupancy() float64 { return occupied(e.Cells) }

// OccupancyBetween is the least and the greatest area of occupancy, in km², over
// the 64 origins.
func (e RangeExtent) OccupancyBetween() (least, most float64) {
	return occupied(e.CellsLeast), occupied(e.CellsMost)
}

func occupied(cells int) float64 { return float64(cells) * OccupancyCell * OccupancyCell / 1e6 }

// Occurrence is the extent of occurrence in km²: the hull, or the area of
// occupancy where that is larger (IUCN 2024, section 4.9: an extent smaller than
// the occupancy is set equal to it).
func (e RangeExtent) Occurrence() float64 { return max(e.Hull/1e6, e.Occupancy()) }

// ExtentOf measures places in a projected CRS in metres.
func ExtentOf(crs layers.CRS, places []orb.Point) (RangeExtent, error) {
	places = distinctPoints(places)
	e := RangeExtent{Places: len(places), CellsLeast: math.MaxInt}
	for step := range originSteps * originSteps {
		origin := orb.Point{float64(step % originSteps), float64(step / originSteps)}
		cells := occupiedCells(places, origin)
		if step == 0 {
			e.Cells = cells
		}
		e.CellsLeast, e.CellsMost = min(e.CellsLeast, cells), max(e.CellsMost, cells)
	}
	hull := convexHull(places)
	if hull == nil {
		return e, nil
	}
	var err error
	e.Hull, err = layers.GeodesicArea(crs, orb.Polygon{hull})
	return e, err
}

// occupiedCells counts squares; the origin is in eighths of a square.
func occupiedCells(places []orb.Point, origin orb.Point) int {
	cells := map[[2]float64]bool{}
	for _, p := range places {
		var cell [2]float64
		for axis := range cell {
			cell[axis] = math.Floor((p[axis] - origin[axis]*OccupancyCell/originSteps) / OccupancyCell)
		}
		cells[cell] = true
	}
	return len(cells)
}

func distinctPoints(points []orb.Point) []orb.Point {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(a, b orb.Point) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	return slices.Compact(sorted)
}

// convexHull is the closed ring around sorted, distinct points, counter-clockwise
// (Andrew 1979, Information Processing Letters 9:216-219); nil where they lie on
// a line.
func convexHull(points []orb.Point) orb.Ring {
	lower := halfHull(points)
	backwards := slices.Clone(points)
	slices.Reverse(backwards)
	upper := halfHull(backwards)
	if len(lower)+len(upper) < 5 { // both ends stand twice: a triangle has 5
		return nil
	}
	return append(lower[:len(lower)-1], upper...)
}

func halfHull(points []orb.Point) orb.Ring {
	var hull orb.Ring
	for _, p := range points {
		for len(hull) >= 2 && turn(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	return hull
}

// turn is positive where the way from a over b to c turns left.
func turn(a, b, c orb.Point) float64 {
	return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
}
