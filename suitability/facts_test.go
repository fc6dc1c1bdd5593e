package suitability

import "testing"

// TestSeasonPlausible: weeks within, without, over the new year, and the week
// 53 that only some years have.
func TestSeasonPlausible(t *testing.T) {
	for _, c := range []struct {
		first, last, week int
		want              bool
	}{
		{0, 0, 30, true},
		{12, 42, 11, false}, {12, 42, 12, true}, {12, 42, 42, true}, {12, 42, 43, false}, {12, 42, 53, false},
		{40, 8, 45, true}, {40, 8, 3, true}, {40, 8, 20, false}, {40, 8, 53, true},
		{1, 52, 53, true}, {1, 20, 53, true}, {30, 52, 53, true},
	} {
		if got := (Season{First: c.first, Last: c.last}).Plausible(c.week); got != c.want {
			t.Errorf("weeks %d to %d, week %d: %v", c.first, c.last, c.week, got)
		}
	}
}

// TestFactNames: every level and demand reads back as it is written, and a
// word that was not said is no level.
func TestFactNames(t *testing.T) {
	for l := HazardNone; l <= HazardVenomous; l++ {
		if back, ok := ParseHazardLevel(l.String()); !ok || back != l {
			t.Errorf("%v reads as %v, %v", l, back, ok)
		}
	}
	for p := PairsAdvised; p <= PairsRequired; p++ {
		if back, ok := ParsePairs(p.String()); !ok || back != p {
			t.Errorf("%v reads as %v, %v", p, back, ok)
		}
	}
	if l, ok := ParseHazardLevel("venom"); ok || l != HazardUnstated {
		t.Errorf("venom is %v", l)
	}
	if l, ok := ParseHazardLevel(""); !ok || l == HazardNone {
		t.Errorf("nothing said is %v", l)
	}
}

// TestFactsChangeNoMap: facts are words beside the model.
func TestFactsChangeNoMap(t *testing.T) {
	p := Profile{ID: "adder"}
	before := p.Hash()
	p.Facts = Facts{Legal: "protected", InWater: true, Hazard: Hazard{Level: HazardVenomous}}
	if p.Hash() != before {
		t.Error("a fact changed the hash")
	}
}
