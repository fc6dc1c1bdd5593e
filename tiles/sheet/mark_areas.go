package sheet

import (
	"image"
	"image/color"

	"github.com/fogleman/gg"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

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
