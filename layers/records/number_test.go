package records

import (
	"strings"
	"testing"
)

func TestParseNumber(t *testing.T) {
	for _, c := range []struct {
		text   string
		comma  bool
		want   float64
		reason Reason
		hint   string
	}{
		{text: "12.5", want: 12.5},
		{text: "-0.5e2", want: -50},
		{text: "+.5", want: .5},
		{text: "7.", want: 7},
		{text: "12,5", comma: true, want: 12.5},
		{text: "12.5", comma: true, want: 12.5},
		{text: "12,5", reason: BadNumber, hint: "write 12.5"},
		{text: "\u221212.5", reason: BadNumber, hint: "write -12.5"},
		{text: "51°30'N", reason: BadNumber, hint: "decimal degrees"},
		{text: "51.5N", reason: BadNumber, hint: "decimal degrees"},
		{text: "51 30 00", reason: BadNumber, hint: "decimal degrees"},
		{text: "NaN", reason: NotFinite},
		{text: "-Infinity", reason: NotFinite},
		{text: "1.#IND", reason: NotFinite},
		{text: "1e999", reason: NotFinite},
		{text: "0x10", reason: BadNumber},
		{text: "1_000", reason: BadNumber},
		{text: "here", reason: BadNumber},
		{text: strings.Repeat("9", 5000) + "x", reason: BadNumber},
	} {
		got, bad := parseNumber(c.text, c.comma)
		switch {
		case c.reason == "" && (bad != nil || got != c.want):
			t.Errorf("%q: %v, %v; want %v", c.text, got, bad, c.want)
		case c.reason != "" && (bad == nil || bad.reason != c.reason || !strings.Contains(bad.words, c.hint)):
			t.Errorf("%.40q: %v; want %s with %q", c.text, bad, c.reason, c.hint)
		case bad != nil && len(bad.words) > 300:
			t.Errorf("%.40q: %d bytes of words", c.text, len(bad.words))
		}
	}
}
