package suitability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// localMetres is a plane in metres, where the hull is a plane polygon.
func localMetres(t *testing.T) layers.CRS {
	t.Helper()
	return rangeCRS(t, `LOCAL_CS["plane",UNIT["metre",1]]`)
}

// TestExtentOf: own calculations on hand-made places (origin 0, squares closed
// at the low side), after the definitions of the IUCN guidelines (2024, sections
// 4.9 and 4.10).
func TestExtentOf(t *testing.T) {
	crs := localMetres(t)
	for _, c := range []struct {
		name                       string
		places                     []orb.Point
		hull, occupancy, reported  float64
		leastOccupancy, mostOccupy float64
	}{
		{"one", []orb.Point{{500, 500}}, 0, 4, 4, 4, 4},
		{"two on a border", []orb.Point{{1900, 1000}, {2200, 1000}}, 0, 8, 8, 4, 8},
		{"corners of a square", []orb.Point{{1000, 1000}, {11000, 1000}, {1000, 11000}, {11000, 11000}}, 100, 16, 100, 16, 16},
		{"on a line", []orb.Point{{0, 0}, {5000, 5000}, {10000, 10000}}, 0, 12, 12, 12, 12},
		{"a triangle", []orb.Point{{0, 0}, {6000, 0}, {0, 8000}, {1000, 1000}, {1500, 900}}, 24, 12, 24, 12, 20},
		{"on corners", []orb.Point{{0, 0}, {2000, 0}, {2000, 2000}, {4000, 4000}}, 4, 16, 16, 16, 16},
	} {
		e, err := ExtentOf(crs, c.places)
		if err != nil {
			t.Fatal(err)
		}
		least, most := e.OccupancyBetween()
		if e.Hull/1e6 != c.hull || e.Occupancy() != c.occupancy || e.Occurrence() != c.reported || least != c.leastOccupancy || most != c.mostOccupy {
			t.Errorf("%s: hull %g, occupancy %g (%g to %g), occurrence %g", c.name, e.Hull/1e6, e.Occupancy(), least, most, e.Occurrence())
		}
	}
}

// TestExtentOfNothing: no places occupy nothing.
func TestExtentOfNothing(t *testing.T) {
	e, err := ExtentOf(localMetres(t), nil)
	if err != nil || e != (RangeExtent{}) {
		t.Errorf("%+v, %v", e, err)
	}
}

// TestExtentIsEllipsoidal: squares of 10 km in ETRS89-LAEA have an area of
// 10⁸ m² on the ellipsoid (GeographicLib 2.0, recomputed; within 0.05 m² there),
// those of the British grid have not.
func TestExtentIsEllipsoidal(t *testing.T) {
	for _, c := range []struct {
		crs       string
		west, low float64
		want, tol float64
	}{
		{"EPSG:3035", 4000000, 3000000, 1e8, 0.1},
		{"EPSG:27700", 400000, 100000, 100079711.4, 0.1},
		{"EPSG:27700", 600000, 300000, 99976537.1, 0.1},
	} {
		e, err := ExtentOf(rangeCRS(t, c.crs), []orb.Point{
			{c.west, c.low}, {c.west + 1e4, c.low}, {c.west + 1e4, c.low + 1e4}, {c.west, c.low + 1e4}})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(e.Hull-c.want) > c.tol {
			t.Errorf("%s %g %g: %.2f m², not %.2f", c.crs, c.west, c.low, e.Hull, c.want)
		}
	}
}

// TestConvexHull holds the hull against its definition: all places on its left
// or on it, its corners among the places; and against moving the places.
func TestConvexHull(t *testing.T) {
	const seed = 20261125
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 1))
	for range 300 {
		var places []orb.Point
		for range 3 + random.IntN(12) {
			places = append(places, orb.Point{float64(random.IntN(8)), float64(random.IntN(8))})
		}
		hull := convexHull(distinctPoints(places))
		for i := 1; i < len(hull); i++ {
			for _, p := range places {
				if turn(hull[i-1], hull[i], p) < 0 {
					t.Fatalf("%v lies outside the hull %v of %v", p, hull, places)
				}
			}
		}
		if hull != nil && hull[0] != hull[len(hull)-1] {
			t.Fatalf("the hull %v is open", hull)
		}
		if hull == nil && !onALine(places) {
			t.Fatalf("no hull around %v", places)
		}
	}
}

func onALine(places []orb.Point) bool {
	for _, a := range places {
		for _, b := range places {
			for _, c := range places {
				if turn(a, b, c) != 0 {
					return false
				}
			}
		}
	}
	return true
}

// TestExtentLaws: one more place never makes anything smaller, and a move by
// whole squares changes nothing.
func TestExtentLaws(t *testing.T) {
	const seed = 7
	crs, random := localMetres(t), rand.New(rand.NewPCG(seed, 2))
	var places []orb.Point
	before := RangeExtent{}
	for range 60 {
		places = append(places, orb.Point{random.Float64() * 3e4, random.Float64() * 2e4})
		e, err := ExtentOf(crs, places)
		if err != nil {
			t.Fatal(err)
		}
		if e.Cells < before.Cells || e.CellsLeast < before.CellsLeast || e.Hull < before.Hull*(1-1e-12) {
			t.Fatalf("seed %d, %d places: %+v after %+v", seed, len(places), e, before)
		}
		moved := make([]orb.Point, len(places))
		for i, p := range places {
			moved[i] = orb.Point{p[0] + 3*OccupancyCell, p[1] - 7*OccupancyCell}
		}
		again, err := ExtentOf(crs, moved)
		if err != nil || again.Cells != e.Cells || again.CellsLeast != e.CellsLeast || again.CellsMost != e.CellsMost {
			t.Fatalf("seed %d: moved %+v, not %+v (%v)", seed, again, e, err)
		}
		before = e
	}
}
