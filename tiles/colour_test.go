package tiles

import (
	"fmt"
	"image/color"
	"math"
	"testing"
)

func hex(t *testing.T, text string) color.NRGBA {
	t.Helper()
	c := color.NRGBA{A: 255}
	if _, err := fmt.Sscanf(text, "#%02X%02X%02X", &c.R, &c.G, &c.B); err != nil {
		t.Fatal(err)
	}
	return c
}

// Sharma, Wu & Dalal (2005), table 1: all 34 pairs, to the four printed decimals.
func TestDifferenceMatchesSharma(t *testing.T) {
	rows := referenceRows(t, "ciede2000_sharma2005.csv")
	if len(rows) != 34 {
		t.Fatalf("%d pairs, want 34", len(rows))
	}
	for _, row := range rows {
		var v [8]float64
		for i := range v {
			v[i] = number(t, row[i])
		}
		p, q := lab{v[1], v[2], v[3]}, lab{v[4], v[5], v[6]}
		want := number(t, row[7])
		for _, got := range []float64{difference(p, q), difference(q, p)} {
			if math.Abs(got-want) > 0.5001e-4 {
				t.Errorf("pair %s: %.5f, want %.4f", row[0], got, want)
			}
		}
	}
}

// Machado et al. (2009), severity 1.0.
func TestDeficiencyMatricesMatchMachado(t *testing.T) {
	names := map[string]string{"protan": "protanopia", "deutan": "deuteranopia", "tritan": "tritanopia"}
	found := 0
	for _, row := range referenceRows(t, "machado2009_cvd.csv") {
		if row[1] != "10" {
			continue
		}
		for _, d := range deficiencies {
			if d.name != names[row[0]] {
				continue
			}
			found++
			for i := range 9 {
				if got, want := d.matrix[i/3][i%3], number(t, row[2+i]); got != want {
					t.Errorf("%s: entry %d is %g, want %g", d.name, i, got, want)
				}
			}
		}
	}
	if found != 3 {
		t.Errorf("%d matrices found, want 3", found)
	}
}

// Worked colours from R's colorspace package with linear = TRUE, within 1.
func TestDeficiencySeesWorkedColours(t *testing.T) {
	cases := []struct {
		d         int
		from, to_ string
	}{
		{1, "#FF0000", "#A39000"}, {1, "#00FF00", "#EFD63A"}, {1, "#0000FF", "#003DFB"},
		{0, "#FF0000", "#6D5F00"}, {0, "#00FF00", "#FFE500"}, {2, "#0000FF", "#006B96"},
	}
	for _, c := range cases {
		got, want := deficiencies[c.d].see(hex(t, c.from)), hex(t, c.to_)
		for _, step := range []int{int(got.R) - int(want.R), int(got.G) - int(want.G), int(got.B) - int(want.B)} {
			if abs(step) > 1 {
				t.Errorf("%s: %s is seen as %v, want %v", deficiencies[c.d].name, c.from, got, want)
			}
		}
	}
}

// W3C WCAG 2.x, ratios recomputed from its formula.
func TestContrastMatchesWCAG(t *testing.T) {
	var rows [][]any
	referenceJSON(t, "wcag_contrast.json", &rows)
	for _, row := range rows {
		got := contrast(hex(t, row[0].(string)), hex(t, row[1].(string)))
		if want := row[2].(float64); math.Abs(got-want) > 0.5001e-4 {
			t.Errorf("%v on %v: %.5f, want %.4f", row[0], row[1], got, want)
		}
	}
}

// CIE L*a*b* of the sRGB primaries under D65, from memory of the many published
// tables: red 53.24, 80.09, 67.20; green 87.73, −86.18, 83.18; blue 32.30, 79.19,
// −107.86; white 100, 0, 0.
func TestLabOfPrimaries(t *testing.T) {
	for text, want := range map[string]lab{
		"#FF0000": {53.24, 80.09, 67.20}, "#00FF00": {87.73, -86.18, 83.18},
		"#0000FF": {32.30, 79.19, -107.86}, "#FFFFFF": {100, 0, 0}, "#000000": {0, 0, 0},
	} {
		got := decode(hex(t, text)).toLab()
		if math.Abs(got.l-want.l) > 0.02 || math.Abs(got.a-want.a) > 0.03 || math.Abs(got.b-want.b) > 0.03 {
			t.Errorf("%s: %+v, want %+v", text, got, want)
		}
	}
}

func TestColoursComeBackFromLab(t *testing.T) {
	for r := 0; r < 256; r += 15 {
		for g := 0; g < 256; g += 15 {
			for b := 0; b < 256; b += 15 {
				c := color.NRGBA{uint8(r), uint8(g), uint8(b), 255}
				if got := decode(c).toLab().shown(); got != c {
					t.Fatalf("%v came back as %v", c, got)
				}
			}
		}
	}
}
