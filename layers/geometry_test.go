package layers

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// The rules of OGC 06-103r4, 6.1.11; the places follow from the figures.
func TestValidateGeometry(t *testing.T) {
	box := orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		g      orb.Geometry
		reason string // "" is valid
		at     orb.Point
	}{
		{"box", orb.Polygon{box}, "", orb.Point{}},
		{"box with a hole", orb.Polygon{box, {{2, 2}, {4, 2}, {4, 4}, {2, 4}, {2, 2}}}, "", orb.Point{}},
		{"nothing", nil, "", orb.Point{}},
		{"empty", orb.Polygon{}, "", orb.Point{}},
		{"point", orb.Point{1, 2}, "", orb.Point{}},
		{"crossing line", orb.LineString{{0, 0}, {2, 2}, {2, 0}, {0, 2}}, "", orb.Point{}},
		{"bow tie", orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}}, "Self-intersection", orb.Point{5, 5}},
		{"far bow tie", orb.Polygon{{{400000.125, 300000}, {400010.125, 300010}, {400010.125, 300000}, {400000.125, 300010}, {400000.125, 300000}}}, "Self-intersection", orb.Point{400005.125, 300005}},
		{"hole outside", orb.Polygon{box, {{20, 20}, {21, 20}, {21, 21}, {20, 20}}}, "Hole lies outside shell", orb.Point{20, 20}},
		{"parts overlap", orb.MultiPolygon{{box}, {{{5, 5}, {15, 5}, {15, 15}, {5, 15}, {5, 5}}}}, "Self-intersection", orb.Point{10, 5}},
		{"open ring", orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}}, "a ring is not closed", orb.Point{0, 10}},
		{"ring of two", orb.Polygon{{{1, 2}, {3, 4}, {1, 2}}}, "3 points where at least 4 are needed", orb.Point{1, 2}},
		{"spike of no area", orb.Polygon{{{0, 0}, {5, 0}, {0, 0}, {0, 0}}}, "Too few points in geometry component", orb.Point{0, 0}},
		{"line of one", orb.LineString{{3, 4}}, "1 points where at least 2 are needed", orb.Point{3, 4}},
		{"not a place", orb.Collection{orb.Point{1, 1}, orb.Polygon{{{0, 0}, {7, nan}, {1, 1}, {0, 0}}}}, "a vertex is not a place", orb.Point{7, nan}},
	} {
		reason, at, ok := ValidateGeometry(c.g)
		near := func(a, b float64) bool { return a == b || math.Abs(a-b) < 1e-9 || a != a && b != b }
		if ok != (c.reason == "") || !strings.HasPrefix(reason, c.reason) || !ok && !(near(at[0], c.at[0]) && near(at[1], c.at[1])) {
			t.Errorf("%s: %v, %q at %v; want %q at %v", c.name, ok, reason, at, c.reason, c.at)
		}
	}
}

// Areas by hand.
func TestRepairGeometry(t *testing.T) {
	for _, c := range []struct {
		name string
		g    orb.Geometry
		area float64
	}{
		{"bow tie", orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}}, 50},
		{"parts overlap", orb.MultiPolygon{{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}}, {{{5, 5}, {15, 5}, {15, 15}, {5, 15}, {5, 5}}}}, 175},
		{"valid", orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 0}}}, 50},
		{"spike", orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {20, 20}, {10, 10}, {0, 10}, {0, 0}}}, 100},
		{"hole outside", orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 0}}, {{20, 20}, {21, 20}, {21, 21}, {20, 20}}}, 50.5}, // GEOS makes such a hole a part
	} {
		mended, err := RepairGeometry(c.g)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if reason, at, ok := ValidateGeometry(mended); !ok {
			t.Errorf("%s: still %s at %v", c.name, reason, at)
		}
		if got := math.Abs(planar.Area(mended)); math.Abs(got-c.area) > 1e-9 {
			t.Errorf("%s: area %g, want %g in %v", c.name, got, c.area, mended)
		}
	}
	if g, err := RepairGeometry(nil); g != nil || err != nil {
		t.Errorf("nothing became %v, %v", g, err)
	}
	if _, err := RepairGeometry(orb.Polygon{{{0, 0}, {1, 1}}}); err == nil {
		t.Error("a ring of two points was mended")
	}
}
