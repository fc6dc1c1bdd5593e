package sheet

import (
	"image"
	"image/color"
	"math"

	"tussock/layers"
	"tussock/tiles"
)

// Relief is lit from the north-west at 45 degrees, as maps are, its heights
// raised, and kept between two light greys, so that all over it stays readable.
const (
	reliefAzimuth, reliefHeight = 315.0, 45.0 // degrees
	reliefRaise                 = 9.0
	reliefDark, reliefLight     = 81.0, 100.0 // L*
)

// paintRelief shades the paper: Lambert's law on the slope by Horn (1981), Hill
// shading and the reflectance map, Proceedings of the IEEE 69:14-47. Where
// heights are unknown the paper stays white.
func paintRelief(on *image.RGBA, f frame, read func(layers.Window) (layers.Block, error)) error {
	var greys [256]color.NRGBA
	for i := range greys {
		greys[i] = tiles.Tone(reliefDark+(reliefLight-reliefDark)*float64(i)/255, 0, 0)
	}
	for s := range f.strips {
		b, err := read(s.cells.Grow(1))
		if err != nil {
			return err
		}
		for y := s.top; y < s.bottom; y++ {
			for x := range f.width {
				if light := lightAt(b, f.col(x), f.row(y), f.grid.Cell); light == light {
					over(on, x, y, greys[int(light*255+0.5)])
				}
			}
		}
	}
	return nil
}

// lightAt is the light on a cell, 0 to 1, by its eight neighbours; NaN where one
// is unknown.
func lightAt(b layers.Block, col, row int, cell float64) float64 {
	at := func(dx, dy int) float64 { return float64(b.Value(col+dx, row+dy)) }
	east := (at(1, -1) + 2*at(1, 0) + at(1, 1) - at(-1, -1) - 2*at(-1, 0) - at(-1, 1)) / (8 * cell) * reliefRaise
	north := (at(-1, -1) + 2*at(0, -1) + at(1, -1) - at(-1, 1) - 2*at(0, 1) - at(1, 1)) / (8 * cell) * reliefRaise
	sin, cos := math.Sincos(reliefHeight * math.Pi / 180)
	toEast, toNorth := math.Sincos(reliefAzimuth * math.Pi / 180)
	// The normal is (−east, −north, 1); the light comes from (toEast, toNorth)·cos, sin.
	light := (sin - cos*(east*toEast+north*toNorth)) / math.Sqrt(1+east*east+north*north)
	return math.Max(0, math.Min(1, light))
}
