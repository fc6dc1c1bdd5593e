package tiles

import (
	"image/color"
	"testing"

	"tussock/suitability"
)

// A picture's pixels are those of a tile, for every value and standing.
func TestPixelIsThatOfATile(t *testing.T) {
	for _, v := range []Values{Steps, Bands, Codes} {
		p, err := NewPalette(v, suitability.DefaultClasses(), suitability.DefaultClassWords())
		if err != nil {
			t.Fatal(err)
		}
		px := newPixels(256)
		numbers := make([]byte, 256*256)
		for standing := range byte(standings) {
			for y := range 256 { // a row for each value
				for x := range 256 {
					s := sampler{palette: p, values: []byte{byte(y)}, standing: []byte{standing}}
					px.values[y*256+x], px.standing[y*256+x] = s.look(0)
				}
			}
			p.colour(px, numbers)
			for i, n := range numbers {
				if got, want := p.Pixel(byte(i/256), standing, i%256, i/256), p.colours[n]; got != want {
					t.Fatalf("standing %d, value %d, pixel %d: %v, a tile has %v", standing, i/256, i%256, got, want)
				}
			}
		}
	}
}

func TestLegendOfNamesWhatIsShown(t *testing.T) {
	p, err := NewPalette(Codes, suitability.DefaultClasses(), suitability.DefaultClassWords())
	if err != nil {
		t.Fatal(err)
	}
	l := p.LegendOf(About{Name: "Adder"}, []byte{4, 2, nothing, 0}, []byte{
		byte(suitability.Documented), byte(suitability.Uncertain), byte(suitability.Documented), nowhere})
	if len(l.Classes) != 5 || len(l.Marks) != 1 || len(l.Places) != 1 {
		t.Fatalf("%+v", l)
	}
	if l.Marks[0].Standing() != suitability.Uncertain || l.Places[0].Standing() != suitability.NotAssessed {
		t.Errorf("%+v", l)
	}
	if got := l.Pixel(l.Classes[0], 3, 5); got != rampAt(1) {
		t.Errorf("the highest class is %v", got)
	}
	if l.Classes[0].Limits() != "0.8–1" || l.Marks[0].Limits() != "" {
		t.Errorf("limits %q, %q", l.Classes[0].Limits(), l.Marks[0].Limits())
	}
}

func TestSightsKeepLightness(t *testing.T) {
	if n := len(Sights()); n != 5 {
		t.Fatalf("%d ways to see", n)
	}
	c := color.NRGBA{200, 100, 50, 255}
	if d := Lightness(c) - Lightness(Grey(c)); d > 0.5 || d < -0.5 {
		t.Errorf("grey is %.2f away in lightness", d)
	}
}
