package layers

import (
	"strings"
	"testing"
)

func TestClosest(t *testing.T) {
	known := []string{"value", "share", "distance", "dry_heath", "wet heath", "heat load", "source", "road pressure"}
	for word, want := range map[string]string{
		"Value": "value", "valeu": "value", "shar": "share", "distence": "distance",
		"dry heath": "dry_heath", "wet_heath": "wet heath", "heatload": "heat load",
		"road": "road pressure", "sourse": "source", "soruce": "source", "dist": "distance",
		"": "", "x": "", "zebra": "", "open_water": "", "???": "",
	} {
		if got := Closest(word, known); got != want {
			t.Errorf("Closest(%q) = %q, want %q", word, got, want)
		}
	}
	if got := Closest("ponds a", []string{"ponds_b", "ponds_c"}); got != "ponds_b" {
		t.Errorf("a tie went to %q", got)
	}
	if got := Closest("pond", []string{"pondweed", "ponderosa"}); got != "" {
		t.Errorf("two words begin alike, and %q was chosen", got)
	}
	if got := Closest(strings.Repeat("é", 1<<16), known); got != "" {
		t.Errorf("a long word became %q", got)
	}
}

// Hand-worked pairs; the restricted distance of "ca" and "abc" is 3, the
// well-known case in which touching a letter twice would give 2.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3},
		{"ab", "ba", 1}, {"ca", "abc", 3}, {"flaw", "lawn", 2},
	} {
		if got := editDistance([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("%q to %q: %d slips, want %d", c.a, c.b, got, c.want)
		}
	}
}
