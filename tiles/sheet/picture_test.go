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
	"tussock/tiles"
)

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
