package sheet

import (
	"image"
	"image/color"

	"github.com/fogleman/gg"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"

	"tussock/suitability"
)

// wave is the pattern of water: short level dashes, set apart from every pattern
// of standings, so that water is known without colour. A dash is dark, with
// light below it.
const (
	waveWidth, waveHeight = 16, 8 // its period
	waveFrom, waveTo      = 3, 9  // pixels of the dash in the upper half
)

// waveAt is the part of the pattern at a pixel: 1 the dash, 2 the light below.
func waveAt(x, y int) int {
	x, y = x%waveWidth, y%waveHeight
	if y >= waveHeight/2 {
		x, y = (x+waveWidth/2)%waveWidth, y-waveHeight/2
	}
	if x < waveFrom || x >= waveTo || y > 1 {
		return 0
	}
	return y + 1
}

// paintWater draws what the marks for water cover: filled where the map has
// nothing to say but that it is excluded, outside or beyond, and elsewhere as
// waves over what the map shows.
func paintWater(on *image.RGBA, c *cells, marks []Mark, shore int) error {
	mask, err := waterOf(c.frame, marks)
	if err != nil || mask == nil {
		return err
	}
	c.hidden = make([]bool, len(mask))
	for y := range c.height {
		for x := range c.width {
			i := y*c.width + x
			if !mask[i] {
				continue
			}
			c.hidden[i] = filledWater(c.standing[i])
			if colour, drawn := c.waterColour(mask, i, x, y, shore); drawn {
				over(on, x, y, colour)
			}
		}
	}
	return nil
}

// waterColour is the colour of a pixel of water; drawn is false where the map
// itself stays.
func (c *cells) waterColour(mask []bool, i, x, y, shore int) (colour color.NRGBA, drawn bool) {
	open := filledWater(c.standing[i])
	wave := waveAt(x/c.pattern, y/c.pattern)
	switch {
	case c.byShore(mask, x, y, shore):
		return wet, true
	case wave == 1:
		return wet, true
	case open:
		return pool, true
	case wave == 2 || c.byShore(mask, x, y, 2*shore):
		return rim, true
	}
	return colour, false
}

// filledWater tells whether water may hide what the map shows.
func filledWater(standing byte) bool {
	switch suitability.Standing(standing) {
	case 0, suitability.Excluded, suitability.Outside, suitability.Vagrant:
		return true
	}
	return false
}

// byShore tells whether land lies within n pixels in one of the four directions;
// beyond the map nothing is known, and no shore is drawn.
func (c *cells) byShore(mask []bool, x, y, n int) bool {
	for d := 1; d <= n; d++ {
		if x >= d && !mask[y*c.width+x-d] || x+d < c.width && !mask[y*c.width+x+d] ||
			y >= d && !mask[(y-d)*c.width+x] || y+d < c.height && !mask[(y+d)*c.width+x] {
			return true
		}
	}
	return false
}

// waterOf are the pixels that marks for water cover; nil for none.
func waterOf(f frame, marks []Mark) ([]bool, error) {
	var mask []bool
	for _, m := range marks {
		if m.Symbol != Water {
			continue
		}
		if mask == nil {
			mask = make([]bool, f.width*f.height)
		}
		if m.Holds != nil {
			if err := holdCells(f, m, mask); err != nil {
				return nil, err
			}
		}
		holdAreas(f, m.Shapes, mask)
	}
	return mask, nil
}

func holdCells(f frame, m Mark, mask []bool) error {
	for s := range f.strips {
		w := s.cells
		held := make([]bool, w.Cells())
		if err := m.Holds(w, held); err != nil {
			return err
		}
		for y := s.top; y < s.bottom; y++ {
			for x := range f.width {
				if held[(f.row(y)-w.Row)*w.Cols+f.col(x)] {
					mask[y*f.width+x] = true
				}
			}
		}
	}
	return nil
}

// holdAreas adds the pixels that are more than half inside an area.
func holdAreas(f frame, shapes []orb.Geometry, mask []bool) {
	var areas *gg.Context
	bound := f.grid.Bound(f.grid.Window()).Pad(20 * f.grid.Cell)
	for _, g := range shapes {
		if g.Dimensions() < 2 {
			continue
		}
		if areas == nil {
			areas = gg.NewContext(f.width, f.height)
			areas.SetFillRuleEvenOdd()
			areas.SetColor(color.White)
		}
		trace(areas, f, clip.Geometry(bound, orb.Clone(g)))
		areas.Fill()
	}
	if areas == nil {
		return
	}
	pixels := areas.Image().(*image.RGBA).Pix
	for i := range mask {
		mask[i] = mask[i] || pixels[4*i+3] > 127
	}
}

// trace adds the rings of areas to a path.
func trace(on *gg.Context, f frame, g orb.Geometry) {
	switch g := g.(type) {
	case orb.Polygon:
		for _, ring := range g {
			on.NewSubPath()
			for _, at := range ring {
				on.LineTo(f.pixel(at))
			}
			on.ClosePath()
		}
	case orb.MultiPolygon:
		for _, part := range g {
			trace(on, f, part)
		}
	case orb.Collection:
		for _, part := range g {
			trace(on, f, part)
		}
	}
}

// drawPools draws water that is known by a point as a small round pool.
func (p pen) drawPools(f frame, marks []Mark) {
	for _, m := range marks {
		if m.Symbol != Water {
			continue
		}
		for _, g := range m.Shapes {
			for _, at := range pointsOf(g) {
				p.pool(f.pixel(at))
			}
		}
	}
}

// poolRadius is that of a small pool's sign, in points.
const poolRadius = 1.1

func (p pen) pool(x, y float64) {
	for _, ring := range []struct {
		more   float64
		colour color.NRGBA
	}{{0.9, rim}, {0.45, wet}, {0, pool}} {
		p.DrawCircle(x, y, (poolRadius+ring.more)*p.point)
		p.SetColor(ring.colour)
		p.Fill()
	}
}

func pointsOf(g orb.Geometry) []orb.Point {
	switch g := g.(type) {
	case orb.Point:
		return []orb.Point{g}
	case orb.MultiPoint:
		return g
	}
	return nil
}
