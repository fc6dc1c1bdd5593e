package layers

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// Areas on WGS 84 by GeographicLib: 10 km squares of the British national grid
// (EPSG:27700, on the Airy ellipsoid), which the map stretches or shrinks.
func TestCellAreasOfTheNationalGrid(t *testing.T) {
	osgb, err := ParseCRS("EPSG:27700")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ west, south, want float64 }{
		{400000, 100000, 100079711.4}, {600000, 300000, 99976537.1}, {250000, 800000, 100028157.6},
	} {
		// 40 m cells: chunks of 64 cells, cut off at 250 cells.
		got := totalArea(t, Grid{CRS: osgb, West: c.west, North: c.south + 10000, Cell: 40, Cols: 250, Rows: 250})
		if math.Abs(got-c.want) > 1 {
			t.Errorf("square at %g, %g: %.1f m², want %.1f", c.west, c.south, got, c.want)
		}
	}
}

func totalArea(t *testing.T, g Grid) float64 {
	t.Helper()
	a, err := NewCellAreas(g)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	total := 0.0
	for row := 0; row*a.Side() < g.Rows; row++ {
		for col := 0; col*a.Side() < g.Cols; col++ {
			cell, err := a.Cell(col, row)
			if err != nil {
				t.Fatal(err)
			}
			cells := min(a.Side(), g.Cols-col*a.Side()) * min(a.Side(), g.Rows-row*a.Side())
			total += cell * float64(cells)
		}
	}
	return total
}

// Single cells against the exact polygon, in and beyond a UTM zone.
func TestCellAreasAgainstSingleCells(t *testing.T) {
	const seed = 5
	random := rand.New(rand.NewPCG(seed, 0))
	crs, err := ParseCRS("EPSG:32631")
	if err != nil {
		t.Fatal(err)
	}
	for _, cell := range []float64{10, 25, 100, 1000} {
		g := Grid{CRS: crs, West: 180000, North: 6300000, Cell: cell, Cols: 400, Rows: 300}
		a, err := NewCellAreas(g)
		if err != nil {
			t.Fatal(err)
		}
		if float64(a.Side())*cell > chunkMetres || TileSide%a.Side() != 0 {
			t.Errorf("cells of %g m: chunks of %d", cell, a.Side())
		}
		for range 20 {
			col, row := random.IntN(g.Cols), random.IntN(g.Rows)
			got, err := a.Cell(col/a.Side(), row/a.Side())
			if err != nil {
				t.Fatal(err)
			}
			want, err := GeodesicArea(crs, orb.Polygon{g.Bound(Window{Col: col, Row: row, Cols: 1, Rows: 1}).ToRing()})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got/want-1) > 2e-5 {
				t.Errorf("seed %d, cell %d, %d of %g m: %.9g m², alone %.9g", seed, col, row, cell, got, want)
			}
		}
		if err := a.Close(); err != nil {
			t.Error(err)
		}
	}
}
