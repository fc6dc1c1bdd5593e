package sheet

import (
	"fmt"
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"github.com/fogleman/gg"
	"github.com/paulmach/orb"

	"tussock/layers"
	"tussock/suitability"
	"tussock/tiles"
)

// WCAG 2.x, success criterion 1.4.3: words need 4.5:1, however they are seen.
func TestWordsAreReadable(t *testing.T) {
	for _, s := range tiles.Sights() {
		for name, pair := range map[string][2]color.NRGBA{
			"words": {ink, paper}, "lesser words": {quiet, paper}, "cautions": {ink, pale}, "hazards": {alarm, pale},
			"names": {ink, rim}, "names of waters": {wet, rim},
		} {
			if r := tiles.Contrast(s.See(pair[0]), s.See(pair[1])); r < 4.5 {
				t.Errorf("%s %s: contrast %.2f", name, s.Name, r)
			}
		}
	}
}

// WCAG 2.x, success criterion 1.4.11: lines need 3:1. A line's core shows on its
// casing, and on every ground of a map the core or the casing shows.
func TestLinesShowOnEveryGround(t *testing.T) {
	p := testPicture(t, testGrid(t, "EPSG:32631", 10, 10), 5)
	grounds := map[color.NRGBA]string{paper: "paper", pool: "open water"}
	for _, s := range suitability.Standings() {
		for v := range 256 {
			for x := range 16 {
				for y := range 16 {
					grounds[onWhite(p.Map.Palette.Pixel(byte(v), byte(s), x, y))] = fmt.Sprint(s, v)
				}
			}
		}
	}
	for _, s := range tiles.Sights() {
		for _, symbol := range []Symbol{Water, Road, Path, Railway, Boundary} {
			core := s.See(Mark{Symbol: symbol}.ink())
			if r := tiles.Contrast(core, s.See(rim)); r < 3 {
				t.Errorf("%s %s: contrast %.2f in its casing", symbolNames[symbol], s.Name, r)
			}
			for ground, name := range grounds {
				if r := max(tiles.Contrast(core, s.See(ground)), tiles.Contrast(s.See(rim), s.See(ground))); r < 3 {
					t.Errorf("%s %s on %s: contrast %.2f", symbolNames[symbol], s.Name, name, r)
				}
			}
		}
		if r := tiles.Contrast(s.See(wet), s.See(pool)); r < 3 {
			t.Errorf("waves %s: contrast %.2f", s.Name, r)
		}
	}
}

// The dots of what is outside the range show on the darkest and the lightest
// relief that its veil lets through.
func TestVeilShowsOnRelief(t *testing.T) {
	p := testPicture(t, testGrid(t, "EPSG:32631", 10, 10), 5)
	for _, l := range []float64{reliefDark, reliefLight} {
		on := image.NewRGBA(image.Rect(0, 0, 16, 16))
		looks := map[color.NRGBA]bool{}
		for i := range 256 {
			over(on, i%16, i/16, tiles.Tone(l, 0, 0))
			over(on, i%16, i/16, p.Map.Palette.Pixel(0, byte(suitability.Outside), i%16, i/16))
			looks[color.NRGBA(on.RGBAAt(i%16, i/16))] = true
		}
		if len(looks) != 2 {
			t.Fatalf("%d colours", len(looks))
		}
		for a := range looks {
			for b := range looks {
				if r := tiles.Contrast(a, b); a != b && r < 3 {
					t.Errorf("on relief of L* %g dots have contrast %.2f", l, r)
				}
			}
		}
	}
}

// The classes' samples in the finished picture, from the top down, grow lighter
// by at least 10 steps of L* (common practice in map design, no source) in
// colour, in grey and with every colour-vision deficiency (Machado et al. 2009).
func TestLegendKeepsItsOrderInThePicture(t *testing.T) {
	for name, p := range kinds(t) {
		picture, pg := drawn(t, p)
		classes := classSamples(picture, pg)
		if want := len(pg.legend.Classes); len(classes) != want {
			t.Errorf("%s: %d samples of classes found, want %d", name, len(classes), want)
			continue
		}
		for _, s := range tiles.Sights() {
			for i := 1; i < len(classes); i++ {
				if d := tiles.Lightness(s.See(classes[i])) - tiles.Lightness(s.See(classes[i-1])); d < 10 {
					t.Errorf("%s, %s: sample %d is only %.1f lighter than the one above", name, s.Name, i+1, d)
				}
			}
		}
	}
}

// classSamples walks down the legend's first column and gathers the colours that
// fill it: the colours of classes.
func classSamples(picture *image.RGBA, pg *page) []color.NRGBA {
	known := map[color.NRGBA]bool{}
	for class := range pg.legend.Classes {
		known[pg.Map.Palette.Pixel(byte(class), byte(suitability.Documented), 0, 0)] = true
	}
	x := pg.legendAt.X + int(sampleWidth/2*pg.faces.point)
	var list []color.NRGBA
	for y := pg.legendAt.Y; y < picture.Bounds().Dy() && len(list) < len(known); y++ {
		c := color.NRGBA(picture.RGBAAt(x, y))
		if known[c] && (len(list) == 0 || list[len(list)-1] != c) {
			list = append(list, c)
		}
	}
	return list
}

// Names never cover one another nor run off the map; seeds are printed.
func TestNamesFindRoom(t *testing.T) {
	seed := rand.Uint64()
	r := rand.New(rand.NewPCG(seed, 8))
	f := newFrame(testGrid(t, "EPSG:32631", 300, 200), 900, 900)
	faces, err := newFaces(2)
	if err != nil {
		t.Fatal(err)
	}
	p := pen{gg.NewContext(f.width, f.height), faces}
	var taken []image.Rectangle
	placed := 0
	for i := range 60 {
		place := Place{Name: fmt.Sprintf("Place %d", i), Kind: []string{"town", "heath", "river"}[r.IntN(3)],
			At: orb.Point{f.grid.West + r.Float64()*7500, f.grid.North - r.Float64()*5000}}
		_, box, fits := p.roomFor(f, place, taken, func(image.Rectangle) int { return 0 })
		if !fits {
			continue
		}
		placed++
		if !box.In(image.Rect(0, 0, f.width, f.height)) {
			t.Fatalf("seed %d: %s runs off the map: %v", seed, place.Name, box)
		}
		for _, other := range taken {
			if other.Overlaps(box) {
				t.Fatalf("seed %d: %s covers another name", seed, place.Name)
			}
		}
		taken = append(taken, box)
	}
	if placed < 15 {
		t.Errorf("seed %d: only %d of 60 names found room", seed, placed)
	}
}

// Water fills what the map leaves open, and elsewhere leaves the map's own
// colour between waves and shore.
func TestWaterLeavesSuitability(t *testing.T) {
	p := testPicture(t, testGrid(t, "EPSG:32631", 40, 40), 5)
	half := field{p.Map.Grid, func(col, row int) (byte, suitability.Standing) {
		if col < 20 {
			return 255, suitability.Excluded
		}
		return 2, suitability.Documented
	}}
	p.Map.Surface = half
	p.Marks = []Mark{{Symbol: Water, Holds: func(w layers.Window, into []bool) error {
		for i := range into {
			into[i] = (w.Row + i/w.Cols) >= 20
		}
		return nil
	}}}
	picture, pg := drawn(t, p)
	count := map[color.NRGBA]int{}
	f := pg.frame
	for y := f.height * 6 / 10; y < f.height*9/10; y++ {
		for x := f.width * 6 / 10; x < f.width*9/10; x++ {
			count[color.NRGBA(picture.RGBAAt(pg.mapAt.X+x, pg.mapAt.Y+y))]++
		}
	}
	own := p.Map.Palette.Pixel(2, byte(suitability.Documented), 0, 0)
	if all := (f.height * 3 / 10) * (f.width * 3 / 10); count[own] < all*6/10 || count[wet] == 0 || count[pool] != 0 {
		t.Errorf("water over suitability: %v of %d, own %v", count, all, own)
	}
	at := picture.RGBAAt(pg.mapAt.X+f.width/4, pg.mapAt.Y+f.height*3/4)
	if c := color.NRGBA(at); c != pool && c != wet {
		t.Errorf("excluded water is %v", c)
	}
}
