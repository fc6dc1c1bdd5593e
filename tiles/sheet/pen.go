package sheet

import (
	"image"
	"image/color"
	"math"
	"strings"

	"github.com/fogleman/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
)

// pen writes and draws; sizes and widths are points, places pixels.
type pen struct {
	*gg.Context
	*faces
}

// text is how words are set.
type text struct {
	style  style
	size   float64 // points
	colour color.NRGBA
}

// lead is the height of a line of text in sizes of its type.
const lead = 1.28

func (p pen) lineHeight(t text) float64 { return t.size * lead * p.point }

// ascent is how far capitals rise above the baseline, in pixels.
func (p pen) ascent(t text) float64 {
	return float64(p.face(t.style, t.size).Metrics().CapHeight) / 64
}

// measure is the width of words in pixels.
func (p pen) measure(t text, words string) float64 {
	return float64(font.MeasureString(p.face(t.style, t.size), words)) / 64
}

// write sets words from x on a baseline.
func (p pen) write(t text, x, baseline float64, words string) {
	set(p.Image().(*image.RGBA), p.face(t.style, t.size), t.colour, x, baseline, words)
}

func set(on *image.RGBA, face font.Face, c color.NRGBA, x, baseline float64, words string) {
	d := font.Drawer{Dst: on, Src: image.NewUniform(c), Face: face, Dot: fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round(baseline * 64))}}
	d.DrawString(words)
}

// writeRight sets words that end at x.
func (p pen) writeRight(t text, x, baseline float64, words string) {
	p.write(t, x-p.measure(t, words), baseline, words)
}

// writeMiddle sets words around x.
func (p pen) writeMiddle(t text, x, baseline float64, words string) {
	p.write(t, x-p.measure(t, words)/2, baseline, words)
}

// rimSteps are the directions in which a rim is laid around letters.
const rimSteps = 16

// writeRimmed sets words with a rim of so many points around every letter.
func (p pen) writeRimmed(t text, x, baseline, width float64, words string) {
	around := t
	around.colour = rim
	for i := range rimSteps {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / rimSteps)
		p.write(around, x+cos*width*p.point, baseline+sin*width*p.point, words)
	}
	p.write(t, x, baseline, words)
}

// writeUpwards sets words around y that read upwards, their baseline at x: the
// letters are drawn level and turned pixel by pixel, so that they stay sharp.
func (p pen) writeUpwards(t text, x, y float64, words string) {
	width, height := int(math.Ceil(p.measure(t, words)))+2, int(math.Ceil(2*p.lineHeight(t)))
	level := image.NewRGBA(image.Rect(0, 0, width, height))
	base := height * 2 / 3
	set(level, p.face(t.style, t.size), t.colour, 1, float64(base), words)
	to := p.Image().(*image.RGBA)
	left, bottom := int(math.Round(x))-base, int(math.Round(y))+width/2
	for v := range height {
		for u := range width {
			if c := level.RGBAAt(u, v); c.A > 0 {
				blend(to, left+v, bottom-u, c)
			}
		}
	}
}

// blend lays a colour with its alpha multiplied in over a pixel.
func blend(on *image.RGBA, x, y int, c color.RGBA) {
	if !(image.Point{X: x, Y: y}).In(on.Bounds()) {
		return
	}
	under := on.RGBAAt(x, y)
	rest := 255 - uint32(c.A)
	mix := func(above, below uint8) uint8 { return above + uint8((uint32(below)*rest+127)/255) }
	on.SetRGBA(x, y, color.RGBA{mix(c.R, under.R), mix(c.G, under.G), mix(c.B, under.B), mix(c.A, under.A)})
}

// wrap breaks words into lines that fit a width in pixels; a word that is
// longer than a line is broken too.
func (p pen) wrap(t text, words string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(words) {
		longer := strings.TrimSpace(line + " " + word)
		if p.measure(t, longer) <= width {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; p.measure(t, line) > width; {
			head := p.fitting(t, line, width)
			lines, line = append(lines, line[:head]), line[head:]
		}
	}
	return append(lines, line)
}

// fitting is how many bytes of a word fit a width, at least one sign.
func (p pen) fitting(t text, word string, width float64) int {
	fits := 0
	for i, r := range word {
		end := i + len(string(r))
		if fits > 0 && p.measure(t, word[:end]) > width {
			break
		}
		fits = end
	}
	return fits
}

// paragraph sets words from the top y down and returns where they end.
func (p pen) paragraph(t text, x, y, width float64, words string) float64 {
	for _, line := range p.wrap(t, words, width) {
		p.write(t, x, y+p.ascent(t), line)
		y += p.lineHeight(t)
	}
	return y
}
