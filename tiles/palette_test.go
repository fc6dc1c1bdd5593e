package tiles

import (
	"image/color"
	"strings"
	"testing"

	"tussock/suitability"
)

// asSeen are the ways in which a map may be seen: in colour, photocopied, and
// with each colour-vision deficiency (Machado et al. 2009).
func asSeen() map[string]func(color.NRGBA) color.NRGBA {
	ways := map[string]func(color.NRGBA) color.NRGBA{
		"in colour": func(c color.NRGBA) color.NRGBA { return c }, "in grey": grey,
	}
	for _, d := range deficiencies {
		ways["with "+d.name] = d.see
	}
	return ways
}

// Classes must keep their order in lightness, at least 10 steps of L* apart,
// however they are seen (common practice in map design, no source).
func TestRampKeepsItsOrder(t *testing.T) {
	for n := 2; n <= maxClasses; n++ {
		for way, see := range asSeen() {
			last := 101.0
			for i, c := range ramp(n) {
				l := lightness(see(c))
				if i > 0 && last-l < 10 {
					t.Errorf("%d classes %s: class %d is only %.1f darker than the one before", n, way, i+1, last-l)
				}
				last = l
			}
		}
	}
	for way, see := range asSeen() {
		last := 101.0
		for i, c := range ramp(steps) {
			l := lightness(see(c))
			if i%10 == 0 && i > 0 {
				if last-l < 1 {
					t.Errorf("steps %s: step %d is not darker than step %d", way, i, i-10)
				}
			}
			if i%10 == 0 {
				last = l
			}
		}
	}
}

// Neighbouring classes differ by far more than is just noticeable (a CIEDE2000
// difference of about 1; common practice, no source).
func TestClassesDiffer(t *testing.T) {
	for way, see := range asSeen() {
		colours := ramp(5)
		for i := 1; i < len(colours); i++ {
			d := difference(decode(see(colours[i-1])).toLab(), decode(see(colours[i])).toLab())
			if d < 10 {
				t.Errorf("%s: classes %d and %d differ by %.1f only", way, i, i+1, d)
			}
		}
	}
}

// WCAG 2.x, success criterion 1.4.11: marks need 3:1 against their ground;
// 1.4.3: text needs 4.5:1.
func TestPatternsAndWordsAreReadable(t *testing.T) {
	for way, see := range asSeen() {
		for i, c := range ramp(steps) {
			if r := contrast(see(c), see(inkOn(c))); r < 3 {
				t.Errorf("step %d %s: ink has contrast %.2f", i, way, r)
			}
		}
		for s, f := range flats {
			if r := contrast(see(f.ground), see(f.ink)); r < 3 {
				t.Errorf("%v %s: ink has contrast %.2f", s, way, r)
			}
		}
	}
	if r := contrast(darkInk, color.NRGBA{255, 255, 255, 255}); r < 4.5 {
		t.Errorf("words on the legend have contrast %.2f", r)
	}
}

// Outside, excluded and not assessed, and what lies beyond the area, are four
// different looks, and none that stands for a missing answer is white or plain.
func TestEveryStandingHasALookOfItsOwn(t *testing.T) {
	type look struct {
		ground, ink color.NRGBA
		pattern     pattern
	}
	p := DefaultPalette()
	seen := map[look]string{{}: "beyond the area"}
	for _, value := range []byte{nothing, 100} {
		for _, s := range suitability.Standings() {
			if unvalued[s] != byte(s) && value == nothing {
				continue
			}
			e := p.standingEntry(s, value)
			l := look{ground: p.look(e, false), ink: p.look(e, true)}
			if q := patterns[s]; q != nil {
				l.pattern = *q
			}
			name := s.String()
			if (s == suitability.RangeNotDocumented && value != nothing) || (!showsValues(s) && value != nothing) {
				continue // as documented range; and the same with any value
			}
			if other, taken := seen[l]; taken {
				t.Errorf("%s looks like %s", name, other)
			}
			seen[l] = name
		}
	}
	for s := range flats { // a photocopy would make plain ones classes of suitability
		if patterns[s] == nil {
			t.Errorf("%v has no pattern", s)
		}
	}
	for _, s := range []suitability.Standing{suitability.NotAssessed, suitability.Excluded} {
		if l := lightness(flats[s].ground); l > 92 {
			t.Errorf("%v is nearly white: L* %.0f", s, l)
		}
	}
	if c := flats[suitability.Outside].ground; c.A == 0 || c.A == 255 {
		t.Errorf("outside is no veil: %v", c)
	}
	if p.colours[p.looks[lookOf(nowhere, 0, nothing)]].A != 0 {
		t.Error("beyond the area is not clear")
	}
}

// Half-open classes: a value on a break belongs to the class above.
func TestBandsAreHalfOpen(t *testing.T) {
	p := DefaultPalette()
	for value, class := range map[byte]int{0: 0, 39: 0, 40: 1, 79: 1, 80: 2, 119: 2, 120: 3, 159: 3, 160: 4, 200: 4} {
		if got := p.colours[p.looks[lookOf(suitability.Documented, 0, value)]]; got != ramp(5)[class] {
			t.Errorf("byte %d has colour %v, want that of class %d", value, got, class+1)
		}
	}
	for _, unknown := range []byte{201, 254, 255} {
		if p.known[unknown] != nothing {
			t.Errorf("byte %d is taken for a value", unknown)
		}
	}
}

func TestPaletteFitsAnIndexedPicture(t *testing.T) {
	for _, v := range []Values{Steps, Bands, Codes} {
		p, err := NewPalette(v, suitability.DefaultClasses(), suitability.DefaultClassWords())
		if err != nil {
			t.Fatal(err)
		}
		if len(p.colours) > 256 {
			t.Errorf("kind %d: %d colours", v, len(p.colours))
		}
	}
}

func TestNewPaletteRefuses(t *testing.T) {
	words := []string{"a", "b", "c", "d", "e", "f", "g", "h"}
	for _, c := range []struct {
		values Values
		breaks suitability.Classes
		words  []string
		say    string
	}{
		{Bands, suitability.Classes{0.5}, words[:3], "3 words for 2 classes"},
		{Bands, suitability.Classes{0.5, 0.4}, words[:3], "does not rise"},
		{Codes, suitability.Classes{.1, .2, .3, .4, .5, .6, .7}, words, "can be told apart"},
		{9, suitability.Classes{0.5}, words[:2], "no such kind"},
	} {
		if _, err := NewPalette(c.values, c.breaks, c.words); err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("error %v; want one with %q", err, c.say)
		}
	}
}

func TestPatternsRunOnAcrossTiles(t *testing.T) {
	for _, size := range []int{256, 512} {
		if period := patternSide << patternShift(size); size%period != 0 {
			t.Errorf("a period of %d px does not divide %d", period, size)
		}
	}
}
