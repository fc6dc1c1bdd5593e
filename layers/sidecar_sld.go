package layers

import (
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"strings"
)

// ErrStyle is wrapped by every error about a style that cannot be written.
var ErrStyle = errors.New("layers: not a usable style")

// StyleKind is how a style turns values into colours.
type StyleKind uint8

// The kinds of style, under the names that the type attribute of a colour map
// has in practice.
const (
	StyleValues    StyleKind = iota // each stop one class, by its exact value
	StyleIntervals                  // each stop the values below it and from the stop before
	StyleRamp                       // blended between stops
)

var styleNames = [...]string{"values", "intervals", "ramp"}

func (k StyleKind) String() string {
	if int(k) < len(styleNames) {
		return styleNames[k]
	}
	return ""
}

// StyleStop is one entry of a style.
type StyleStop struct {
	Value  float64 // in the values' unit; for classes the code
	Colour color.NRGBA
	Label  string
}

// Style is how a raster is to be drawn.
type Style struct {
	Name  string // of the layer
	Title string
	Kind  StyleKind
	Stops []StyleStop // by rising value
}

// ClassStyle draws each class in its own colour.
func ClassStyle(name, title string, classes []Class) Style {
	s := Style{Name: name, Title: title, Kind: StyleValues}
	for _, c := range classes {
		s.Stops = append(s.Stops, StyleStop{Value: float64(c.Value), Colour: c.Colour, Label: c.Name})
	}
	return s
}

func (s Style) check() error {
	if s.Name == "" || len(s.Stops) == 0 || len(s.Stops) > 256 || s.Kind > StyleRamp {
		return fmt.Errorf("%w: a style of kind %d, name %q and %d stops", ErrStyle, s.Kind, s.Name, len(s.Stops))
	}
	before := math.Inf(-1)
	for i, stop := range s.Stops {
		if !finite(stop.Value) || stop.Value <= before {
			return fmt.Errorf("%w: stop %d, %g, does not come after %g", ErrStyle, i, stop.Value, before)
		}
		before = stop.Value
	}
	return nil
}

const sldHead = `<?xml version="1.0" encoding="UTF-8"?>
<StyledLayerDescriptor version="1.0.0" xmlns="http://www.opengis.net/sld" xmlns:ogc="http://www.opengis.net/ogc" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" xsi:schemaLocation="http://www.opengis.net/sld http://schemas.opengis.net/sld/1.0.0/StyledLayerDescriptor.xsd">
`

// WriteSLD writes a style as a Styled Layer Descriptor 1.0.0 (OGC 02-070) with
// one raster symbolizer. The type of the colour map is an attribute that the
// standard lacks and that desktop and server programs share; a reader that does
// not know it sees the standard's default, a ramp. Colour maps of version 1.1
// (OGC 05-077r4) are written as functions, which fewer programs read.
func WriteSLD(out io.Writer, style Style) error {
	if err := style.check(); err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString(sldHead)
	fmt.Fprintf(&b, "  <NamedLayer>\n    <Name>%s</Name>\n    <UserStyle>\n", escaped(style.Name))
	if style.Title != "" {
		fmt.Fprintf(&b, "      <Title>%s</Title>\n", escaped(style.Title))
	}
	b.WriteString("      <FeatureTypeStyle>\n        <Rule>\n          <RasterSymbolizer>\n")
	fmt.Fprintf(&b, "            <ColorMap type=\"%s\">\n", style.Kind)
	for _, stop := range style.Stops {
		writeStop(&b, stop)
	}
	b.WriteString("            </ColorMap>\n          </RasterSymbolizer>\n        </Rule>\n      </FeatureTypeStyle>\n")
	b.WriteString("    </UserStyle>\n  </NamedLayer>\n</StyledLayerDescriptor>\n")
	_, err := io.WriteString(out, b.String())
	return err
}

func writeStop(b *strings.Builder, s StyleStop) {
	fmt.Fprintf(b, "              <ColorMapEntry color=\"#%02x%02x%02x\" quantity=\"%s\"", s.Colour.R, s.Colour.G, s.Colour.B, number(s.Value))
	if s.Label != "" {
		fmt.Fprintf(b, " label=\"%s\"", escaped(s.Label))
	}
	if s.Colour.A != 255 {
		fmt.Fprintf(b, " opacity=\"%s\"", number(math.Round(float64(s.Colour.A)/255*1000)/1000))
	}
	b.WriteString("/>\n")
}
