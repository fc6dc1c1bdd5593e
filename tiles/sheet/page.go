package sheet

import (
	"errors"
	"image"
	"image/draw"
	"math"

	"github.com/fogleman/gg"

	"tussock/tiles"
)

// Paper as wide as A4 (ISO 216) in points, and the room around everything.
const (
	paperWidth  = 210 / 25.4 * 72
	pageMargin  = 11.5
	columnGap   = 14.0
	blockGap    = 9.0
	mostHeight  = 1.12  // of a map above its legend, in widths of the page
	tallHeight  = 1.3   // of a map beside its legend
	barRoom     = 122.0 // for the scale bar, in points
	leastColumn = 150   // of words beside a map, in points
)

// page lays a picture out and draws it.
type page struct {
	*Picture
	faces   *faces
	frame   frame
	beside  bool // words beside the map, not below
	earth   earth
	cells   *cells
	legend  tiles.Legend
	bar     scaleBar
	pattern int
	towns   bool // whether any is named

	mapAt, legendAt image.Point // where they lie on the page, once composed
}

func newPage(p *Picture) (*page, error) {
	f, err := newFaces(float64(p.Width) / paperWidth)
	if err != nil {
		return nil, err
	}
	pg := &page{Picture: p, faces: f, pattern: max(1, int(f.point/0.75/2+0.5))}
	pg.place()
	return pg, nil
}

// place decides where words go and how large the map is. A map that is taller
// than wide has its words beside it.
func (pg *page) place() {
	g := pg.Map.Grid
	u := pg.faces.point
	room := float64(pg.Width) - 2*pageMargin*u
	pg.beside = float64(g.Rows) > 1.1*float64(g.Cols)
	high := mostHeight * float64(pg.Width)
	if pg.beside {
		room -= (leastColumn + columnGap) * u
		high = tallHeight * float64(pg.Width)
	}
	pg.frame = newFrame(g, int(room), int(high))
}

func (pg *page) draw() (picture *image.RGBA, err error) {
	if pg.earth, err = locate(pg.frame); err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, pg.earth.close()) }()
	drawn, err := pg.drawMap()
	if err != nil {
		return nil, err
	}
	values, standing := pg.cells.shown()
	pg.legend = pg.Map.Palette.LegendOf(tiles.About{Name: pg.Words.Name}, values, standing)
	if pg.bar, err = newScaleBar(pg.frame, pg.earth, barRoom*pg.faces.point); err != nil {
		return nil, err
	}
	height := pg.compose(gg.NewContext(1, 1), nil)
	on := gg.NewContext(pg.Width, int(math.Ceil(height)))
	on.SetColor(paper)
	on.Clear()
	pg.compose(on, drawn)
	return on.Image().(*image.RGBA), nil
}

// drawMap draws the map alone.
func (pg *page) drawMap() (*image.RGBA, error) {
	on := image.NewRGBA(image.Rect(0, 0, pg.frame.width, pg.frame.height))
	draw.Draw(on, on.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	if pg.Map.Relief != nil {
		if err := paintRelief(on, pg.frame, pg.Map.Relief); err != nil {
			return nil, err
		}
	}
	var err error
	if pg.cells, err = readCells(pg.frame, pg.Map, pg.pattern); err != nil {
		return nil, err
	}
	pg.cells.paint(on, pg.Map.Palette.Pixel)
	if err := paintWater(on, pg.cells, pg.Marks, max(1, int(0.35*pg.faces.point))); err != nil {
		return nil, err
	}
	p := pen{gg.NewContextForRGBA(on), pg.faces}
	p.drawLines(pg.frame, pg.Marks)
	p.drawPools(pg.frame, pg.Marks)
	pg.towns = p.drawPlaces(pg.frame, pg.Places, pg.cells.hides())
	return on, nil
}

// compose draws the page from the top down and returns its height. Without a
// map it only measures.
func (pg *page) compose(on *gg.Context, drawn *image.RGBA) float64 {
	p := pen{on, pg.faces}
	u := p.point
	left := pageMargin * u
	width := float64(pg.Width) - 2*left
	mapLeft := left
	if !pg.beside {
		mapLeft = math.Floor((float64(pg.Width) - float64(pg.frame.width)) / 2)
		if float64(pg.frame.width) > 0.6*width { // words stand flush with the map
			left, width = mapLeft, float64(pg.frame.width)
		}
	}
	y := p.drawTitle(pg.Words, left, pageMargin*u, width)
	mapTop := math.Ceil(y + (pg.coordinateRows(p)*tickRow+3)*u)
	pg.putMap(p, drawn, mapLeft, mapTop)
	y = mapTop + float64(pg.frame.height) + (pg.coordinateRows(p)*tickRow+blockGap)*u
	if pg.beside {
		x := mapLeft + float64(pg.frame.width) + columnGap*u
		end := pg.column(p, x, mapTop, float64(pg.Width)-pageMargin*u-x)
		y = math.Max(y, end)
	} else {
		y = pg.columns(p, left, y, width)
		y = p.drawCautions(pg.Words, left, y, width) + blockGap*u
	}
	return p.drawProvenance(pg.provenance(pg.frame), left, y, width) + pageMargin*u
}

// coordinateRows is in how many rows coordinates stand above and below the map:
// corners get a row of their own where the map is narrow.
func (pg *page) coordinateRows(p pen) float64 {
	corner := 0.0
	for _, at := range pg.earth.corners {
		corner = math.Max(corner, p.measure(tickText, degreesWords(at)))
	}
	if pg.earth.known && float64(pg.frame.width) < 2*corner+2.5*tickApartX*p.point {
		return 2
	}
	return 1
}

// putMap lays the map on the page and frames it.
func (pg *page) putMap(p pen, drawn *image.RGBA, left, top float64) {
	to := p.Image().(*image.RGBA)
	pg.mapAt = image.Pt(int(left), int(top))
	if drawn != nil {
		draw.Draw(to, drawn.Bounds().Add(pg.mapAt), drawn, image.Point{}, draw.Src)
	}
	w := 0.8 * p.point
	p.DrawRectangle(left-w/2, top-w/2, float64(pg.frame.width)+w, float64(pg.frame.height)+w)
	p.SetColor(ink)
	p.SetLineWidth(w)
	p.Stroke()
	p.drawCoordinates(pg.frame, pg.earth, left, top, pg.coordinateRows(p))
}
