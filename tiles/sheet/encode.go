package sheet

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"

	"tussock/tiles"
)

// encode writes a picture as PNG, in grey with the lightness of its colours.
func encode(w io.Writer, picture *image.RGBA, inGrey bool) error {
	var shown image.Image = picture
	if inGrey {
		shown = grey(picture)
	}
	// The best compression takes five times as long and saves one per cent.
	if err := png.Encode(w, shown); err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	return nil
}

// grey keeps the lightness of an opaque picture.
func grey(picture *image.RGBA) *image.Gray {
	out := image.NewGray(picture.Bounds())
	known := map[[3]byte]byte{}
	for i := range out.Pix {
		rgb := [3]byte(picture.Pix[4*i : 4*i+3])
		g, ok := known[rgb]
		if !ok {
			g = tiles.Grey(color.NRGBA{rgb[0], rgb[1], rgb[2], 255}).R
			known[rgb] = g
		}
		out.Pix[i] = g
	}
	return out
}
