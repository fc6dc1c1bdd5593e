package sheet

import (
	"image/color"
	"testing"
)

// Nothing runs into the margins, whatever is written; no type is smaller than 8
// points on paper as wide as A4.
func TestNothingRunsOffThePage(t *testing.T) {
	for name, p := range kinds(t) {
		picture, pg := drawn(t, p)
		margin := int(2 * pg.faces.point)
		b := picture.Bounds()
		if b.Dx() != p.Width {
			t.Errorf("%s: %d pixels wide, want %d", name, b.Dx(), p.Width)
		}
		for y := range b.Dy() {
			for x := range b.Dx() {
				if x >= margin && x < b.Dx()-margin && y >= margin && y < b.Dy()-margin {
					continue
				}
				if picture.RGBAAt(x, y) != color.RGBA(paper) {
					t.Fatalf("%s: there is ink at %d, %d of %v", name, x, y, b.Max)
				}
			}
		}
		for key := range pg.faces.made {
			if key.size < 8 {
				t.Errorf("%s: type of %g points", name, key.size)
			}
		}
	}
}
