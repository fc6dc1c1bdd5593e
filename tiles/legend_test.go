package tiles

import (
	"bytes"
	"encoding/json"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tussock/suitability"
)

func TestLegendNamesWhatTheMapShows(t *testing.T) {
	source := mercatorField(averholt, 200, 200, 100, func(col, row int) (byte, byte) {
		switch {
		case col < 50:
			return suitability.ByteNodata, byte(suitability.NotAssessed)
		case col < 100:
			return 100, byte(suitability.Uncertain)
		}
		return 100, byte(suitability.Documented)
	})
	folder := build(t, source, Options{Formats: []Format{PMTiles}})
	text, err := os.ReadFile(filepath.Join(folder, "adder.legend.json"))
	if err != nil {
		t.Fatal(err)
	}
	var got Legend
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, list := range [][]LegendEntry{got.Classes, got.Marks, got.Places} {
		for _, e := range list {
			words = append(words, e.Words)
		}
	}
	if w := strings.Join(words, ", "); w != "strong, good, some, weak, poor, range uncertain here, not assessed" {
		t.Errorf("the legend reads %s", w)
	}
	if c := got.Classes[0]; *c.From != 0.8 || *c.To != 1 || c.Colour != hexOf(rampAt(1)) {
		t.Errorf("highest class: %+v", c)
	}
	if got.Places[0].Pattern == "" || got.Clear == "" || got.Credit != "A & B Trust" {
		t.Errorf("legend: %s", text)
	}
}

func TestLegendPictureHoldsTheLooks(t *testing.T) {
	for _, v := range []Values{Steps, Bands, Codes} {
		p, err := NewPalette(v, suitability.DefaultClasses(), suitability.DefaultClassWords())
		if err != nil {
			t.Fatal(err)
		}
		l := p.Legend(About{Name: "A name that is long enough to need a second line of the legend"})
		for _, scale := range []int{1, 2} {
			data, err := l.PNG(scale)
			if err != nil {
				t.Fatal(err)
			}
			picture, err := png.Decode(bytes.NewReader(data))
			if err != nil || picture.Bounds().Dx() != legendWidth*scale {
				t.Fatalf("bounds %v, %v", picture.Bounds(), err)
			}
			again, err := l.PNG(scale)
			if err != nil || !bytes.Equal(again, data) {
				t.Errorf("the same legend gave other bytes, %v", err)
			}
		}
	}
}
