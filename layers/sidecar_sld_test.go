package layers

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"testing"
)

// sldDocument is the part of OGC 02-070's schema that a raster style uses.
type sldDocument struct {
	XMLName xml.Name `xml:"http://www.opengis.net/sld StyledLayerDescriptor"`
	Version string   `xml:"version,attr"`
	Name    string   `xml:"NamedLayer>Name"`
	Title   string   `xml:"NamedLayer>UserStyle>Title"`
	Map     struct {
		Type    string `xml:"type,attr"`
		Entries []struct {
			Colour   string   `xml:"color,attr"`
			Quantity float64  `xml:"quantity,attr"`
			Label    string   `xml:"label,attr"`
			Opacity  *float64 `xml:"opacity,attr"`
		} `xml:"ColorMapEntry"`
	} `xml:"NamedLayer>UserStyle>FeatureTypeStyle>Rule>RasterSymbolizer>ColorMap"`
}

func readSLD(t *testing.T, s Style) sldDocument {
	t.Helper()
	var out bytes.Buffer
	if err := WriteSLD(&out, s); err != nil {
		t.Fatal(err)
	}
	var doc sldDocument
	if err := xml.Unmarshal(out.Bytes(), &doc); err != nil {
		t.Fatalf("%v in\n%s", err, out.String())
	}
	return doc
}

func TestSLDOfClasses(t *testing.T) {
	doc := readSLD(t, ClassStyle("standing", "Why & where", []Class{
		{Value: 0, Name: "documented here", Colour: color.NRGBA{1, 2, 255, 255}},
		{Value: 3, Name: `"edge" <b>`, Colour: color.NRGBA{16, 32, 48, 51}},
	}))
	if doc.Version != "1.0.0" || doc.Name != "standing" || doc.Title != "Why & where" || doc.Map.Type != "values" {
		t.Errorf("%+v", doc)
	}
	e := doc.Map.Entries
	if len(e) != 2 || e[0].Colour != "#0102ff" || e[0].Quantity != 0 || e[0].Opacity != nil || e[0].Label != "documented here" {
		t.Fatalf("%+v", e)
	}
	if e[1].Colour != "#102030" || e[1].Quantity != 3 || *e[1].Opacity != 0.2 || e[1].Label != `"edge" <b>` {
		t.Errorf("%+v", e[1])
	}
}

func TestSLDOfARamp(t *testing.T) {
	for kind, name := range map[StyleKind]string{StyleRamp: "ramp", StyleIntervals: "intervals"} {
		doc := readSLD(t, Style{Name: "habitat", Kind: kind, Stops: []StyleStop{
			{Value: 0, Colour: color.NRGBA{255, 255, 255, 255}}, {Value: 0.1 + 0.2, Colour: color.NRGBA{0, 90, 50, 255}},
		}})
		if doc.Map.Type != name || doc.Title != "" || doc.Map.Entries[1].Quantity != 0.1+0.2 {
			t.Errorf("%s: %+v", name, doc)
		}
	}
}

func TestSLDRefusesImpossibleStyles(t *testing.T) {
	stop := func(values ...float64) (stops []StyleStop) {
		for _, v := range values {
			stops = append(stops, StyleStop{Value: v})
		}
		return stops
	}
	for i, s := range []Style{
		{Stops: stop(1)}, {Name: "a"}, {Name: "a", Stops: stop(1, 1)}, {Name: "a", Stops: stop(2, 1)},
		{Name: "a", Stops: stop(math.NaN())}, {Name: "a", Stops: stop(math.Inf(1))}, {Name: "a", Kind: 9, Stops: stop(1)},
	} {
		if err := WriteSLD(io.Discard, s); !errors.Is(err, ErrStyle) {
			t.Errorf("style %d: %v", i, err)
		}
	}
	if got := fmt.Sprint(StyleKind(9)); got != "" {
		t.Errorf("unknown kind %q", got)
	}
}
