package sheet

import (
	"math"
	"strings"
	"testing"

	"tussock/layers"
	"tussock/suitability"
	"tussock/tiles"
)

// field is a surface made by a formula.
type field struct {
	grid layers.Grid
	at   func(col, row int) (value byte, standing suitability.Standing)
}

func (f field) Lattice() layers.Lattice {
	return layers.Lattice{CRS: f.grid.CRS, Affine: f.grid.Affine()}
}
func (f field) Size() (cols, rows int) { return f.grid.Cols, f.grid.Rows }
func (f field) About() tiles.About     { return tiles.About{ID: "adder", Name: "Adder"} }

func (f field) ReadBytes(w layers.Window, values, standing []byte) error {
	for i := range values {
		v, s := f.at(w.Col+i%w.Cols, w.Row+i/w.Cols)
		values[i], standing[i] = v, byte(s)
	}
	return nil
}

// patches has every class and every standing somewhere, in patches of uneven
// size.
func patches(classes int) func(col, row int) (byte, suitability.Standing) {
	all := append(suitability.Standings(), 0)
	return func(col, row int) (byte, suitability.Standing) {
		n := int(50 * (2 + math.Sin(float64(col)/17) + math.Cos(float64(row)/13)))
		s := suitability.Documented
		if zone := (col/23 + 2*(row/19)) % 29; zone < len(all) {
			s = all[zone]
		}
		return byte(n % classes), s
	}
}

func testGrid(t testing.TB, crs string, cols, rows int) layers.Grid {
	t.Helper()
	c, err := layers.ParseCRS(crs)
	if err != nil {
		t.Fatal(err)
	}
	return layers.Grid{CRS: c, West: 488000, North: 6215080, Cell: 25, Cols: cols, Rows: rows}
}

const localCRS = `LOCAL_CS["plot metres",UNIT["metre",1]]`

func testPicture(t testing.TB, grid layers.Grid, classes int) *Picture {
	t.Helper()
	var breaks suitability.Classes
	for i := 1; i < classes; i++ {
		breaks = append(breaks, float64(i)/float64(classes))
	}
	palette, err := tiles.NewPalette(tiles.Codes, breaks, suitability.ClassWords(classes))
	if err != nil {
		t.Fatal(err)
	}
	return &Picture{
		Map: Map{Surface: field{grid, patches(classes)}, Grid: grid, Palette: palette},
		Words: Words{Name: "Adder", Scientific: "Vipera nusquam", Area: "Averholt", Shows: "Habitat suitability",
			Audience: layers.Public, Date: "2026-06-01", Version: "0123456789ab", Licences: []string{"CC0-1.0"}},
	}
}

// kinds are pictures that differ in everything that a layout depends on.
func kinds(t testing.TB) map[string]*Picture {
	long := testPicture(t, testGrid(t, "EPSG:32631", 480, 360), 7)
	long.Words.Name = "The greater hook-nosed lowland water-meadow and saltmarsh grass snake of the northern coasts"
	long.Words.Scientific = "Pseudohydronatrixoides longissimuspalustrisarenariusborealismaritimus"
	long.Words.Area = "The district of Averholt and the neighbouring parishes of Sallowby"
	long.Words.Hazard, long.Words.HazardKind = strings.Repeat("Bites if handled. ", 12), "venomous"
	long.Words.Cautions = []string{strings.Repeat("Stay on the paths. ", 9), "Wash your hands."}
	long.Width = 900
	narrow := testPicture(t, testGrid(t, "EPSG:32631", 30, 900), 5)
	wide := testPicture(t, testGrid(t, "EPSG:32631", 5000, 90), 5)
	local := testPicture(t, testGrid(t, localCRS, 201, 101), 5)
	tall := testPicture(t, testGrid(t, "EPSG:32631", 300, 400), 5)
	tall.Width, tall.Words.Hazard = 1600, "Bites if handled."
	one := testPicture(t, testGrid(t, "EPSG:32631", 1, 1), 2)
	return map[string]*Picture{"long names and seven classes": long, "tall and thin": narrow, "very wide": wide,
		"local": local, "tall": tall, "one cell": one, "the district": testPicture(t, testGrid(t, "EPSG:32631", 960, 720), 5)}
}
