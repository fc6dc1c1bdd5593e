package sheet

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
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

// drawn draws a picture and says where its map lies.
func drawn(t *testing.T, p *Picture) (*image.RGBA, *page) {
	t.Helper()
	if err := p.check(); err != nil {
		t.Fatal(err)
	}
	pg, err := newPage(p)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := pg.draw()
	if err != nil {
		t.Fatal(err)
	}
	return picture, pg
}

// The map is the class raster, cell by cell: every pixel inside the ticks has
// the colour of the cell under its middle, over white paper.
func TestMapIsTheRaster(t *testing.T) {
	for name, p := range kinds(t) {
		picture, pg := drawn(t, p)
		f := pg.frame
		skip := int(tickLength*pg.faces.point) + 2
		for y := skip; y < f.height-skip; y++ {
			for x := skip; x < f.width-skip; x++ {
				col := int(math.Floor((float64(x) + 0.5) * float64(f.grid.Cols) / float64(f.width)))
				row := int(math.Floor((float64(y) + 0.5) * float64(f.grid.Rows) / float64(f.height)))
				v, s := p.Map.Surface.(field).at(col, row)
				want := p.Map.Palette.Pixel(v, byte(s), x/pg.pattern, y/pg.pattern)
				got := color.NRGBAModel.Convert(picture.At(pg.mapAt.X+x, pg.mapAt.Y+y)).(color.NRGBA)
				if onWhite(want) != got {
					t.Fatalf("%s: pixel %d, %d of the map is %v, cell %d, %d is %v", name, x, y, got, col, row, want)
				}
			}
		}
	}
}

// onWhite lays a colour on white, rounded as image/draw does it.
func onWhite(c color.NRGBA) color.NRGBA {
	on := image.NewRGBA(image.Rect(0, 0, 1, 1))
	on.SetRGBA(0, 0, color.RGBA{255, 255, 255, 255})
	over(on, 0, 0, c)
	return color.NRGBAModel.Convert(on.At(0, 0)).(color.NRGBA)
}

// Cells that fit get the same whole number of pixels each.
func TestPixelsPerCellAreWhole(t *testing.T) {
	for _, c := range []struct{ cols, rows, room, high, want int }{
		{960, 720, 1923, 2200, 1920}, {201, 101, 1923, 2200, 1809}, {10, 10, 1000, 400, 400}, {1000, 10, 1923, 2200, 1923}, {5000, 90, 1923, 2200, 1923},
	} {
		f := newFrame(layers.Grid{Cols: c.cols, Rows: c.rows, Cell: 1}, c.room, c.high)
		if f.width != c.want {
			t.Errorf("%d by %d cells are %d pixels wide, want %d", c.cols, c.rows, f.width, c.want)
		}
	}
}

// Nothing runs into the margins, whatever is written; no type is smaller than 8
// points on paper as wide as A4.
func TestNothingRunsOffThePage(t *testing.T) {
	for name, p := range kinds(t) {
		picture, pg := drawn(t, p)
		margin := int(2 * pg.faces.point)
		b := picture.Bounds()
		if b.Dx() != p.Width {
			t.Errorf("%s: %d pixels wide, want %d", name, b.Dx(), p.Width)
		}
		for y := range b.Dy() {
			for x := range b.Dx() {
				if x >= margin && x < b.Dx()-margin && y >= margin && y < b.Dy()-margin {
					continue
				}
				if picture.RGBAAt(x, y) != color.RGBA(paper) {
					t.Fatalf("%s: there is ink at %d, %d of %v", name, x, y, b.Max)
				}
			}
		}
		for key := range pg.faces.made {
			if key.size < 8 {
				t.Errorf("%s: type of %g points", name, key.size)
			}
		}
	}
}

// The same picture gives the same bytes; in grey, the lightness of its colours.
func TestPicturesRepeat(t *testing.T) {
	p := testPicture(t, testGrid(t, "EPSG:32631", 120, 90), 5)
	p.Width = 900
	var a, b, g bytes.Buffer
	if err := p.Write(&a); err != nil {
		t.Fatal(err)
	}
	if err := p.Write(&b); err != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Fatalf("other bytes, %v", err)
	}
	p.Grey = true
	if err := p.Write(&g); err != nil {
		t.Fatal(err)
	}
	coloured, err := png.Decode(&a)
	if err != nil {
		t.Fatal(err)
	}
	grey, err := png.Decode(&g)
	if err != nil {
		t.Fatal(err)
	}
	for y := range coloured.Bounds().Dy() {
		for x := range coloured.Bounds().Dx() {
			want := tiles.Grey(color.NRGBAModel.Convert(coloured.At(x, y)).(color.NRGBA))
			if got := color.NRGBAModel.Convert(grey.At(x, y)); got != want {
				t.Fatalf("pixel %d, %d is %v in grey, want %v", x, y, got, want)
			}
		}
	}
}

// A map is never finer than its audience may see, whatever the raster holds:
// within a square of 250 m all pixels show one cell.
func TestMapCellIsKept(t *testing.T) {
	p := testPicture(t, testGrid(t, "EPSG:32631", 205, 143), 5)
	p.Map.MapCell = 250
	if err := p.check(); err != nil {
		t.Fatal(err)
	}
	pg, err := newPage(p)
	if err != nil {
		t.Fatal(err)
	}
	c, err := readCells(pg.frame, p.Map, 1)
	if err != nil {
		t.Fatal(err)
	}
	type look struct{ value, standing byte }
	squares := map[[2]int]look{}
	for y := range c.height {
		for x := range c.width {
			at := [2]int{c.col(x) / 10, c.row(y) / 10}
			l := look{c.values[y*c.width+x], c.standing[y*c.width+x]}
			if other, seen := squares[at]; seen && other != l {
				t.Fatalf("square %v shows %v and %v", at, other, l)
			}
			squares[at] = l
		}
	}
	if len(squares) != 21*15 {
		t.Errorf("%d squares", len(squares))
	}
}

func TestPicturesAreRefused(t *testing.T) {
	grid := testGrid(t, "EPSG:32631", 20, 20)
	for say, spoil := range map[string]func(*Picture){
		"no audience":    func(p *Picture) { p.Words.Audience = 0 },
		"pixels wide":    func(p *Picture) { p.Width = 100 },
		"by 20 cells":    func(p *Picture) { p.Map.Grid.Rows = 21 },
		"does not lie":   func(p *Picture) { p.Map.Grid.West += 25 },
		"map cell of -1": func(p *Picture) { p.Map.MapCell = -1 },
	} {
		p := testPicture(t, grid, 5)
		spoil(p)
		if _, err := p.Draw(); err == nil || !strings.Contains(err.Error(), say) {
			t.Errorf("%v; want an error with %q", err, say)
		}
	}
}

func TestUnwritableSigns(t *testing.T) {
	if got := string(Unwritable("Ägäis – 56.0° N, Щука, 蛇蛇!")); got != "蛇" {
		t.Errorf("no sign for %q", got)
	}
}
