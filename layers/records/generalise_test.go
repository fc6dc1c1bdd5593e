package records

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
	"tussock/layers"
)

func generaliser(t testing.TB, grid layers.CRS) *Generaliser {
	t.Helper()
	g, err := NewGeneraliser(grid)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(g.Close)
	return g
}

func exactRecord() Record {
	u := 10.0
	return Record{
		ID: "r", Species: "Vipera berus", Given: orb.Point{-1.23456, 50.71234}, CRS: layers.WGS84(), Point: orb.Point{-1.23456, 50.71234},
		UncertaintyM: &u, Raw: map[string]string{"locality": "under the third stone"}, Notes: []string{"n"}, Source: Origin{File: "f", Line: 3},
	}
}

// Categories and cells: Chapman (2020), Current Best Practices for Generalizing
// Sensitive Species Occurrence Data, table 7.
func TestGeneralise(t *testing.T) {
	g := generaliser(t, layers.WGS84())
	for s, want := range map[layers.Sensitivity]orb.Point{
		layers.LowSensitivity:    {-1.2345, 50.7125},
		layers.MediumSensitivity: {-1.235, 50.715},
		layers.HighSensitivity:   {-1.25, 50.75},
	} {
		r := exactRecord()
		got, shown, err := g.Generalise(r, s, layers.Public)
		if err != nil || !shown || got.Given != want || got.Point != want || got.Precision != s.RecordCellDegrees() {
			t.Errorf("%v: %+v, %v, %v; want %v", s, got, shown, err, want)
		}
		if got.Raw != nil || got.Notes != nil || got.Source != (Origin{}) || got.Generalised == "" || !strings.Contains(got.Withheld, "10 m") {
			t.Errorf("%v: %+v", s, got)
		}
		if r.Raw == nil || r.Given != exactRecord().Given {
			t.Errorf("%v: the record itself was changed", s)
		}
	}
}

func TestGeneraliseAudiences(t *testing.T) {
	g := generaliser(t, layers.WGS84())
	r := exactRecord()
	if got, shown, err := g.Generalise(r, layers.HighSensitivity, layers.Staff); err != nil || !shown || got.Given != r.Given || got.Raw == nil {
		t.Errorf("staff: %+v, %v, %v", got, shown, err)
	}
	if got, shown, err := g.Generalise(r, layers.NotSensitive, layers.Public); err != nil || !shown || got.Given != r.Given {
		t.Errorf("not sensitive: %+v, %v, %v", got, shown, err)
	}
	for _, a := range []layers.Audience{layers.Public, layers.Volunteer, layers.Partner} {
		if got, shown, err := g.Generalise(r, layers.ExtremeSensitivity, a); err != nil || shown || got.ID != "" {
			t.Errorf("extreme, %v: %+v, %v, %v", a, got, shown, err)
		}
	}
	if _, shown, err := g.Generalise(r, layers.LowSensitivity, 0); shown || !errors.Is(err, layers.ErrNoAudience) {
		t.Errorf("nobody: %v, %v", shown, err)
	}
}

// Half diagonals of cells at latitude 50.7: 6589.05, 658.91 and 65.89 m for
// 0.1, 0.01 and 0.001 degrees (formula of Chapman & Wieczorek 2020, recomputed
// on WGS84). Ours holds the whole cell, so it may only be larger, by the
// cell's own narrowing and a rounding up.
func TestCellRadius(t *testing.T) {
	for cell, want := range map[float64]float64{0.1: 6589.05, 0.01: 658.91, 0.001: 65.89} {
		if got := cellRadius(50.7, cell); got < want || got > want*1.001+1 {
			t.Errorf("%v°: %v m, want %v and a little", cell, got, want)
		}
	}
}

// Laws: the centre is a fixed point, no farther than the radius, and the same
// for all places of its cell; nothing in the result depends on where in the
// cell the place was.
func TestGeneraliseIsAGrid(t *testing.T) {
	g := generaliser(t, layers.WGS84())
	rapid.Check(t, func(t *rapid.T) {
		r := exactRecord()
		r.Given = orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")}
		s := layers.Sensitivity(rapid.IntRange(1, 3).Draw(t, "sensitivity"))
		got, shown, err := g.Generalise(r, s, layers.Public)
		if err != nil || !shown {
			t.Fatal(shown, err)
		}
		half := s.RecordCellDegrees()/2 + 1e-6
		if math.Abs(got.Given[0]-r.Given[0]) > half || math.Abs(got.Given[1]-r.Given[1]) > half || math.Abs(got.Given[1]) > 90 || math.Abs(got.Given[0]) > 180 {
			t.Fatalf("%v became %v", r.Given, got.Given)
		}
		r.Given = got.Given
		again, _, err := g.Generalise(r, s, layers.Public)
		if err != nil || again.Given != got.Given || *again.UncertaintyM != *got.UncertaintyM || again.Withheld != got.Withheld {
			t.Fatalf("%v became %v: %v", got.Given, again.Given, err)
		}
	})
}

func TestGeneraliseLocal(t *testing.T) {
	plot := crs(t, plotCRS)
	g := generaliser(t, plot)
	r := exactRecord()
	r.CRS, r.Given, r.Point, r.UncertaintyM = plot, orb.Point{250, -30}, orb.Point{250, -30}, nil
	got, shown, err := g.Generalise(r, layers.LowSensitivity, layers.Public)
	if err != nil || !shown || got.Point != (orb.Point{250, -50}) || *got.UncertaintyM != 71 || !strings.Contains(got.Withheld, "not recorded") {
		t.Errorf("%+v, %v, %v", got, shown, err)
	}
}
