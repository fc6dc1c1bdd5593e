package tiles

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"github.com/fogleman/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"

	"tussock/suitability"
)

// Sizes of the legend picture, in pixels at scale 1 (96 to the inch).
const (
	legendMargin = 14
	legendWidth  = 320
	swatchWidth  = 48
	swatchHeight = 22
	rowHeight    = 28
	titleSize    = 15
	textSize     = 12.5
	smallSize    = 11
)

// PNG draws the legend, scale times as large as on a screen of 96 pixels to the
// inch; patterns are drawn as the tiles have them, pixel by pixel.
func (l Legend) PNG(scale int) ([]byte, error) {
	scale = max(scale, 1)
	d, err := newLegendDrawing(l, scale)
	if err != nil {
		return nil, err
	}
	height := d.draw(gg.NewContext(1, 1))
	d.draw(gg.NewContext(legendWidth*scale, int(math.Ceil(height))))
	var out bytes.Buffer
	if err := png.Encode(&out, d.on.Image()); err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	return out.Bytes(), nil
}

// legendDrawing draws a legend from the top down.
type legendDrawing struct {
	legend             Legend
	scale              float64
	on                 *gg.Context
	y                  float64
	title, text, small font.Face
}

func newLegendDrawing(l Legend, scale int) (*legendDrawing, error) {
	d := &legendDrawing{legend: l, scale: float64(scale)}
	for _, f := range []struct {
		face *font.Face
		ttf  []byte
		size float64
	}{{&d.title, gobold.TTF, titleSize}, {&d.text, goregular.TTF, textSize}, {&d.small, goregular.TTF, smallSize}} {
		parsed, err := opentype.Parse(f.ttf)
		if err != nil {
			return nil, fmt.Errorf("tiles: %w", err)
		}
		// At 72 points to the inch, a size in points is one in pixels.
		*f.face, err = opentype.NewFace(parsed, &opentype.FaceOptions{Size: f.size * d.scale, DPI: 72})
		if err != nil {
			return nil, fmt.Errorf("tiles: %w", err)
		}
	}
	return d, nil
}

// draw draws all and returns the height that it took.
func (d *legendDrawing) draw(on *gg.Context) float64 {
	d.on, d.y = on, legendMargin*d.scale
	on.SetColor(color.White)
	on.Clear()
	d.words(d.title, d.legend.Title, darkInk)
	d.group(d.legend.Heading, d.legend.Classes)
	d.group("Marks over suitability", d.legend.Marks)
	d.group("No suitability shown", d.legend.Places)
	d.y += 4 * d.scale
	d.words(d.small, d.legend.Clear, darkInk)
	d.words(d.small, d.legend.Note, darkInk)
	if d.legend.Credit != "" {
		d.words(d.small, d.legend.Credit, darkInk)
	}
	return d.y + legendMargin*d.scale
}

// words writes a paragraph over the whole width.
func (d *legendDrawing) words(face font.Face, text string, ink color.Color) {
	d.on.SetFontFace(face)
	d.on.SetColor(ink)
	width := (legendWidth - 2*legendMargin) * d.scale
	line := d.on.FontHeight() * 1.3
	for _, part := range d.on.WordWrap(text, width) {
		d.on.DrawStringAnchored(part, legendMargin*d.scale, d.y, 0, 1)
		d.y += line
	}
	d.y += 3 * d.scale
}

func (d *legendDrawing) group(title string, entries []LegendEntry) {
	if len(entries) == 0 {
		return
	}
	d.y += 6 * d.scale
	d.words(d.small, title, darkInk)
	for _, e := range entries {
		d.row(e)
	}
}

func (d *legendDrawing) row(e LegendEntry) {
	s := d.scale
	x, y := legendMargin*s, d.y
	d.swatch(e, int(x), int(y))
	d.on.SetColor(darkInk)
	d.on.SetLineWidth(s)
	d.on.DrawRectangle(x+s/2, y+s/2, (swatchWidth-1)*s, (swatchHeight-1)*s)
	d.on.Stroke()
	d.on.SetFontFace(d.text)
	d.on.DrawStringAnchored(e.Words, x+(swatchWidth+10)*s, y+swatchHeight*s/2, 0, 0.35)
	d.on.SetFontFace(d.small)
	d.on.DrawStringAnchored(e.rangeText(), (legendWidth-legendMargin)*s, y+swatchHeight*s/2, 1, 0.35)
	d.y += rowHeight * s
}

// swatch paints an entry as the tiles show it.
func (d *legendDrawing) swatch(e LegendEntry, left, top int) {
	to, ok := d.on.Image().(draw.Image)
	if !ok {
		return
	}
	scale := int(d.scale)
	sample := d.legend.palette.swatch(e)
	for y := range swatchHeight * scale {
		for x := range swatchWidth * scale {
			c := sample.NRGBAAt(x/scale, y/scale)
			draw.Draw(to, image.Rect(left+x, top+y, left+x+1, top+y+1), image.NewUniform(c), image.Point{}, draw.Over)
		}
	}
}

// swatch is a sample of an entry, as tiles of 256 px show it; where suitability
// is shown in steps, a class's sample runs through its steps.
func (p *Palette) swatch(e LegendEntry) *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, swatchWidth, swatchHeight))
	for y := range swatchHeight {
		for x := range swatchWidth {
			if e.From != nil && p.values == Steps {
				e.value = suitability.EncodeByte(*e.From + (*e.To-*e.From)*float64(x)/(swatchWidth-1))
			}
			pattern := patterns[e.standing]
			ink := pattern != nil && pattern[y%patternSide]>>(x%patternSide)&1 != 0
			out.SetNRGBA(x, y, p.look(e, ink))
		}
	}
	return out
}
