package sheet

import (
	"image/color"
	"testing"

	"github.com/paulmach/orb"

	"tussock/suitability"
)

// A road lies where its coordinates say, wherever it begins and ends; at a
// crossing the wider one and, over water, the bridge is on top.
func TestLinesLieWhereTheyShould(t *testing.T) {
	p := testPicture(t, testGrid(t, "EPSG:32631", 80, 60), 5)
	g := p.Map.Grid
	p.Map.Surface = field{g, func(int, int) (byte, suitability.Standing) { return 2, suitability.Documented }}
	at := func(x, y float64) orb.Point { return orb.Point{g.West + x*25, g.North - y*25} }
	p.Marks = []Mark{
		{Symbol: Road, Rank: 0, Shapes: []orb.Geometry{orb.LineString{at(-9000, 20), at(9000, 20)}}},
		{Symbol: Road, Rank: 3, Shapes: []orb.Geometry{orb.MultiLineString{{at(40, -50), at(40, 500)}}}},
		{Symbol: Water, Shapes: []orb.Geometry{orb.LineString{at(60, 2), at(60, 58)}}},
		{Symbol: Boundary, Shapes: []orb.Geometry{orb.Polygon{{at(5, 30), at(15, 30), at(15, 50), at(5, 50), at(5, 30)}}}},
		{Symbol: Water, Shapes: []orb.Geometry{at(30, 40)}},
	}
	picture, pg := drawn(t, p)
	look := func(x, y float64) color.NRGBA {
		px, py := pg.frame.pixel(at(x, y))
		return color.NRGBA(picture.RGBAAt(pg.mapAt.X+int(px), pg.mapAt.Y+int(py)))
	}
	for _, c := range []struct {
		what string
		x, y float64
		want color.NRGBA
	}{
		{"the wide road", 20, 20, ways}, {"the crossing", 40, 20, ways}, {"the bridge", 60, 20, ways},
		{"the river", 60, 40, pool}, {"a pool", 30, 40, pool}, {"the narrow road", 40, 50, ways},
		{"the map", 25, 10, p.Map.Palette.Pixel(2, byte(suitability.Documented), 0, 0)},
		{"inside the boundary", 10, 40, p.Map.Palette.Pixel(2, byte(suitability.Documented), 0, 0)},
	} {
		if got := look(c.x, c.y); !alike(got, c.want) {
			t.Errorf("%s is %v, want %v", c.what, got, c.want)
		}
	}
	if list := groundEntries(p.Marks, true); len(list) != 4 || list[0].words != "road" || list[3].words != "town or village" {
		t.Errorf("the legend's lines: %+v", list)
	}
}

// alike leaves room for the smoothed rims of lines that are hardly wider than a
// pixel.
func alike(a, b color.NRGBA) bool {
	for _, d := range []int{int(a.R) - int(b.R), int(a.G) - int(b.G), int(a.B) - int(b.B)} {
		if d*d > 75*75 {
			return false
		}
	}
	return true
}

func TestSymbolsHaveNames(t *testing.T) {
	for _, s := range []Symbol{Water, Road, Path, Railway, Boundary} {
		if SymbolNamed(symbolNames[s]) != s || (Mark{Symbol: s}).words() == "" {
			t.Errorf("symbol %d: %q", s, symbolNames[s])
		}
	}
	if SymbolNamed("") != 0 || SymbolNamed("river") != 0 {
		t.Error("a name that is none")
	}
}
