package layers

import "testing"

// The counts at cells of 25 m follow from counting the pairs of whole numbers
// with dx² + dy² ≤ r²: the Gauss circle problem, whose first values 1, 5, 13,
// 29, 49, 81, 113, 149, 197, 253, 317 are sequence A000328 of the On-Line
// Encyclopedia of Integer Sequences (from memory).
func TestDiscCells(t *testing.T) {
	for metres, cells := range map[float64]int{
		10: 1, 25: 5, 50: 13, 75: 29, 100: 49, 125: 81, 150: 113, 250: 317, 500: 1257, 1000: 5025, 5000: 125629,
	} {
		if got := newDisc(metres, 25).cells; got != cells {
			t.Errorf("disc of %g m: %d cells, want %d", metres, got, cells)
		}
	}
	if got := newDisc(0.3, 0.1).cells; got != 29 {
		t.Errorf("a radius of 0.3 at cells of 0.1: %d cells, want the 29 of three cells", got)
	}
}

func TestDiscChords(t *testing.T) {
	for _, metres := range []float64{1, 25, 60, 75, 130, 400} {
		d := newDisc(metres, 25)
		inside := map[[2]int]bool{}
		for _, c := range d.chords {
			for dx := c.lo; dx <= c.hi; dx++ {
				inside[[2]int{dx, c.dy}] = true
			}
		}
		for dy := -20; dy <= 20; dy++ {
			for dx := -20; dx <= 20; dx++ {
				want := float64(dx*dx+dy*dy)*625 <= metres*metres
				if inside[[2]int{dx, dy}] != want {
					t.Errorf("radius %g: cell %d, %d inside: %t", metres, dx, dy, !want)
				}
			}
		}
	}
}

// Counting in lanes, with as many spills as it takes, and adding whole numbers
// must agree: a disc of radius 170 cells has more cells than one lane can hold.
func TestCountersAgree(t *testing.T) {
	rng := measureRand(t)
	d := newDisc(170, 1)
	if d.cells <= laneCells {
		t.Fatalf("%d cells do not fill a lane", d.cells)
	}
	w := Window{Col: 5, Row: -7, Cols: 13, Rows: 4}
	set := make([]uint8, w.Grow(170).Cells())
	for i := range set {
		set[i] = uint8(min(rng.IntN(20), 1))
	}
	source := w.Grow(170)
	member := func(row int, cells []uint8) { copy(cells, set[(row-source.Row)*source.Cols:]) }
	narrow, wide := countSet(source, w, member), countWide(source, w, member)
	for row := w.Row; row < w.Bottom(); row++ {
		a, b := narrow(row, d.chords), wide(row, d.chords)
		for i := range b {
			if a[i] != b[i] {
				t.Fatalf("row %d column %d: %d in lanes, %d as whole numbers", row, i, a[i], b[i])
			}
		}
	}
}
