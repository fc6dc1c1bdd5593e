package suitability

import (
	"math"
	"testing"
)

func TestStandingWords(t *testing.T) {
	seen := map[string]bool{}
	for i, s := range Standings() {
		if int(s) != i+1 || s.String() == "" || s.Words() == "" || seen[s.String()] || seen[s.Words()] && s.Words() != s.String() {
			t.Errorf("standing %d: %q, %q", s, s, s.Words())
		}
		seen[s.String()], seen[s.Words()] = true, true
	}
	if len(Standings()) != 10 || Standing(0).String() != "" || Standing(200).Words() != "" {
		t.Error("standings that do not exist have words")
	}
}

func TestStandingPrecedence(t *testing.T) {
	for _, s := range []Standing{Outside, Edge, Vagrant} {
		for _, known := range []bool{true, false} {
			for _, out := range []bool{true, false} {
				if got := StandingAt(s, known, out); got != s {
					t.Errorf("%v, assessed %v, excluded %v: %v", s, known, out, got)
				}
			}
		}
	}
	for _, s := range []Standing{Documented, Uncertain, Introduced, Historic, RangeNotDocumented} {
		for _, c := range []struct {
			known, out bool
			want       Standing
		}{{true, false, s}, {true, true, Excluded}, {false, true, Excluded}, {false, false, NotAssessed}} {
			if got := StandingAt(s, c.known, c.out); got != c.want {
				t.Errorf("%v, assessed %v, excluded %v: %v, want %v", s, c.known, c.out, got, c.want)
			}
		}
	}
}

// The factors by standing, in range maps' own words where there are any.
func TestRangeRuleTable(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		words                              string
		want                               Standing
		public, planned, asked, plannedToo float64 // asked: historic range was asked for
	}{
		{"Extant", Documented, 1, 1, 1, 1},
		{"reintroduced", Documented, 1, 1, 1, 1},
		{"Probably_extant", Uncertain, 1, 1, 1, 1},
		{"possibly extant", Uncertain, 1, 1, 1, 1},
		{"Presence Uncertain", Uncertain, 1, 1, 1, 1},
		{"historic", Historic, nan, 0, 1, 1},
		{"possibly-extinct", Historic, nan, 0, 1, 1},
		{"introduced", Introduced, 1, 1, 1, 1},
		{"vagrant", Vagrant, 0, 0, 0, 0},
	} {
		status, err := ParseRangeStatus(c.words)
		if err != nil || status.Standing() != c.want {
			t.Errorf("%q is %v, %v; want %v", c.words, status, err, c.want)
			continue
		}
		same(t, c.words, PublicFactor(c.want, false), c.public)
		same(t, c.words, PublicFactor(c.want, true), c.asked)
		same(t, c.words, PlanningFactor(c.want, false, nan, 2000), c.planned)
		same(t, c.words, PlanningFactor(c.want, true, nan, 2000), c.plannedToo)
	}
	for s, want := range map[Standing]float64{Outside: nan, Edge: nan, RangeNotDocumented: 1, Excluded: 0, NotAssessed: nan} {
		same(t, s.String(), PublicFactor(s, true), want)
	}
	for _, words := range []string{"", "1", "present"} {
		if s, err := ParseRangeStatus(words); err == nil {
			t.Errorf("%q is %v", words, s)
		}
	}
}

func same(t *testing.T, what string, got, want float64) {
	t.Helper()
	if got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
		t.Errorf("%s: factor %g, want %g", what, got, want)
	}
}

// exp(−d/b)·(1 − (d/b)²), worked by hand at b = 2000 m.
func TestEdgeFactor(t *testing.T) {
	for d, want := range map[float64]float64{0: 1, 500: 0.7788007830714049 * .9375, 1000: 0.6065306597126334 * .75, 2000: 0, 5000: 0} {
		near(t, "edge", PlanningFactor(Edge, false, d, 2000), want, 1e-15)
	}
	same(t, "outside", PlanningFactor(Outside, true, 10, 2000), 0)
	same(t, "no edge", PlanningFactor(Edge, true, 0, 0), 0)
	for d := 10.0; d <= 2000; d += 10 {
		if a, b := edgeFactor(d-10, 2000), edgeFactor(d, 2000); !(b < a) {
			t.Errorf("the factor does not fall from %g to %g m", d-10, d)
		}
	}
}
