package tiles

import (
	"testing"

	"tussock/suitability"
)

// Every number of species has one class, classes follow each other without a
// gap, and there are never more than can be told apart.
func TestCountBins(t *testing.T) {
	for most := range 255 {
		b := NewCountBins(most)
		if len(b.Words) > maxClasses {
			t.Fatalf("%d species make %d classes", most, len(b.Words))
		}
		last := byte(0)
		for count := 0; count <= max(most, 1); count++ {
			class := b.of(byte(count))
			if class < last || class > last+1 || int(class) >= len(b.Words) {
				t.Fatalf("of %d: %d species are in class %d after class %d", most, count, class, last)
			}
			last = class
		}
		if int(last) != len(b.Words)-1 {
			t.Fatalf("of %d: the last class is %d of %v", most, last, b.Words)
		}
		if b.of(suitability.ByteNodata) != suitability.ByteNodata {
			t.Fatal("unknown has a class")
		}
		if _, err := b.Palette(); err != nil {
			t.Fatal(err)
		}
	}
	if got := NewCountBins(12).Words; got[1] != "1 to 2 species" || got[6] != "11 to 12 species" {
		t.Errorf("words %q", got)
	}
}
