package tiles

import (
	"fmt"
	"image/color"

	"tussock/suitability"
)

// Values is what the value bytes of a source are, and with that how four pixels
// become one at the next zoom out.
type Values uint8

// The kinds of values.
const (
	// Steps are suitability bytes (steps of 0.005, 255 unknown), shown in 201
	// colours; four pixels become their mean.
	Steps Values = iota
	// Bands are suitability bytes too, shown in classes. A byte is rounded: next
	// to a break it may show in the neighbouring class. Codes do not.
	Bands
	// Codes are numbers of classes (0 the lowest, 255 unknown); four pixels
	// become the class that most of them have, the lower one of two.
	Codes
)

// nothing is the value byte of an unknown value, and nowhere the standing byte
// of a pixel beyond the area.
const (
	nothing = suitability.ByteNodata
	nowhere = 0

	mostStanding = byte(suitability.RangeNotDocumented)
	standings    = int(mostStanding) + 1
)

// Palette turns values and standings into colours.
type Palette struct {
	values  Values
	breaks  suitability.Classes
	words   []string
	colours []color.NRGBA // by colour number; 0 is clear
	known   [256]byte     // value byte as it is kept: nothing where it means nothing
	looks   looks
}

// looks is the colour number by standing, ground or ink, and value; see lookOf.
type looks [1 << 13]byte

// lookOf is where in looks a pixel is: standings fill the upper four bits, 1
// for ink the next, the value the rest. The masks change nothing; they let the
// compiler see that no index is out of bounds.
func lookOf(s suitability.Standing, ink int, value byte) int {
	return int(s&15)<<9 | ink&1<<8 | int(value)
}

// NewPalette makes the palette of a kind of values. Breaks and words are those
// of the classes, from the lowest; Steps needs them too, for its legend. Codes
// may do without breaks: its classes then have no limits of suitability.
func NewPalette(values Values, breaks suitability.Classes, words []string) (*Palette, error) {
	if err := breaks.Check(); err != nil {
		return nil, err
	}
	n := len(breaks) + 1
	if values == Codes && breaks == nil {
		n = len(words)
	}
	if len(words) != n {
		return nil, fmt.Errorf("tiles: %d words for %d classes", len(words), n)
	}
	if n > maxClasses && values != Steps {
		return nil, fmt.Errorf("tiles: %d classes are more than the %d that can be told apart on a map", n, maxClasses)
	}
	if values > Codes {
		return nil, fmt.Errorf("tiles: no such kind of values: %d", values)
	}
	p := &Palette{values: values, breaks: append(suitability.Classes(nil), breaks...), words: append([]string(nil), words...)}
	p.mix()
	return p, nil
}

// DefaultPalette shows suitability bytes in the five default classes.
func DefaultPalette() *Palette {
	p, err := NewPalette(Bands, suitability.DefaultClasses(), suitability.DefaultClassWords())
	if err != nil {
		panic(err) // the defaults fit each other
	}
	return p
}

// mix fills the colour table and the lookups. Colours with transparency come
// first, which keeps a tile's list of transparencies short.
func (p *Palette) mix() {
	p.colours = []color.NRGBA{{}, flats[suitability.Outside].ground}
	shades := p.shades()
	first := len(p.colours)
	p.colours = append(p.colours, shades...)
	for v := range 256 {
		p.known[v] = nothing
		if shade, ok := p.shadeOf(byte(v)); ok {
			p.known[v] = byte(v)
			p.showValue(byte(v), byte(first+shade), shades[shade])
		}
	}
	for _, s := range suitability.Standings() {
		p.showFlat(s)
	}
}

// shades are the colours of values, from the lowest.
func (p *Palette) shades() []color.NRGBA {
	if p.values == Steps {
		return ramp(steps)
	}
	return ramp(len(p.words))
}

// shadeOf is which of the shades a value byte has; false for unknown ones.
func (p *Palette) shadeOf(v byte) (int, bool) {
	switch p.values {
	case Steps:
		return int(v), int(v) < steps
	case Bands:
		return p.breaks.Of(suitability.DecodeByte(v)), int(v) < steps
	default:
		return int(v), int(v) < len(p.words)
	}
}

// showValue is the look of a value under every standing that shows values.
func (p *Palette) showValue(v, ground byte, shade color.NRGBA) {
	ink := p.number(inkOn(shade))
	for _, s := range suitability.Standings() {
		if showsValues(s) {
			p.looks[lookOf(s, 0, v)], p.looks[lookOf(s, 1, v)] = ground, ink
		}
	}
}

// showFlat is the look of a standing where it shows no value.
func (p *Palette) showFlat(s suitability.Standing) {
	flat := flatOf(s)
	ground, ink := p.number(flat.ground), p.number(flat.ink)
	for v := range 256 {
		if !showsValues(s) || p.known[v] == nothing {
			p.looks[lookOf(s, 0, byte(v))], p.looks[lookOf(s, 1, byte(v))] = ground, ink
		}
	}
}

// number is the number of a colour, added to the table where it is new.
func (p *Palette) number(c color.NRGBA) byte {
	for i, known := range p.colours {
		if known == c {
			return byte(i)
		}
	}
	p.colours = append(p.colours, c)
	return byte(len(p.colours) - 1)
}

// classes tells whether values are numbers of classes, which are counted and
// never averaged.
func (p *Palette) classes() bool { return p.values == Codes }
