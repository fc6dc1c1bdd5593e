package sheet

import (
	"errors"
	"fmt"
	"image"
	"io"

	"tussock/layers"
	"tussock/tiles"
)

// Picture is everything that a picture shows.
type Picture struct {
	Map    Map
	Words  Words
	Marks  []Mark  // drawn over the map in this order, water first
	Places []Place // named where there is room
	Width  int     // pixels, MinWidth to MaxWidth; 0: DefaultWidth
	Grey   bool    // as a photocopier shows it
}

// Widths of a picture in pixels.
const (
	MinWidth     = 800
	DefaultWidth = 2000
	MaxWidth     = 8000
)

// Look counts the changes of how pictures look: the same picture in another
// look has other bytes.
const Look = 1

// Map is the surface that a picture shows.
type Map struct {
	Surface tiles.Source // its cells are those of Grid
	Grid    layers.Grid
	Palette *tiles.Palette
	// MapCell is the finest cell, in metres, that the audience may see
	// (layers.Audience.MapCell): the cells of one such square all show the cell
	// in its middle. 0 or a grid cell's side: every cell shows itself.
	MapCell float64
	// Relief reads elevations in metres, to be shaded where the map lets the
	// paper through; nil: none.
	Relief func(layers.Window) (layers.Block, error)
}

// Words are what is said beside the map. All of it is plain text.
type Words struct {
	Name       string // of the species, for people
	Scientific string
	Area       string // of the project
	Shows      string // what the map shows, in a line
	Audience   layers.Audience
	Date       string // reference date, ISO 8601
	Version    string // of the model, short
	Hazard     string // the harm that people can come to; "" for none stated
	HazardKind string // venomous, water, road …
	FirstAid   string // with where it is from; "" where none is asked for
	Cautions   []string
	Licences   []string // of all sources
}

// ErrPicture is wrapped by errors about a picture that cannot be drawn.
var ErrPicture = errors.New("tiles: no picture can be drawn")

func (p *Picture) check() error {
	if err := p.Words.Audience.Check(); err != nil {
		return err
	}
	if p.Width == 0 {
		p.Width = DefaultWidth
	}
	if p.Width < MinWidth || p.Width > MaxWidth {
		return fmt.Errorf("%w: it would be %d pixels wide\nhint: use %d to %d", ErrPicture, p.Width, MinWidth, MaxWidth)
	}
	cols, rows := p.Map.Surface.Size()
	if g := p.Map.Grid; cols != g.Cols || rows != g.Rows || cols < 1 || rows < 1 {
		return fmt.Errorf("%w: the surface has %d by %d cells, the grid %d by %d\nhint: run `tussock map` again", ErrPicture, cols, rows, g.Cols, g.Rows)
	}
	at := p.Map.Surface.Lattice()
	if at.Affine != p.Map.Grid.Affine() || !at.CRS.Equal(p.Map.Grid.CRS) {
		return fmt.Errorf("%w: the surface does not lie where the grid does\nhint: run `tussock map` again", ErrPicture)
	}
	if !(p.Map.MapCell >= 0) {
		return fmt.Errorf("%w: a map cell of %g m is impossible", ErrPicture, p.Map.MapCell)
	}
	return nil
}

// Draw draws the picture. The same picture gives the same pixels.
func (p *Picture) Draw() (*image.RGBA, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	pg, err := newPage(p)
	if err != nil {
		return nil, err
	}
	return pg.draw()
}

// Write draws the picture and writes it as PNG (ISO/IEC 15948).
func (p *Picture) Write(w io.Writer) error {
	drawn, err := p.Draw()
	if err != nil {
		return err
	}
	return encode(w, drawn, p.Grey)
}
