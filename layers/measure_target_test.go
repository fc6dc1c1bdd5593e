package layers

import (
	"math"
	"testing"
)

func bound(v float64) *float64 { return &v }

// targetForces are distances to the nearest of several.
func targetForces() []bruteForce {
	warm := Condition{Layer: "elev", From: bound(85)}
	mild := Condition{Layer: "elev", From: bound(80), To: bound(95.25)}
	water := Target{Layer: "cover", Classes: []string{"water", "13"}}
	return []bruteForce{
		{"distance to one target", Distance{Targets: []Target{water}, Limit: 33}, 1e-7, bruteDistance(33)},
		{"distance where a condition holds", Distance{Targets: []Target{{Layer: "cover", Classes: []string{"heath", "mire"}, Where: mild}}, Limit: 60}, 1e-7,
			bruteTargets(60, false, func(m *memoryReader, col, row int) bool {
				return classIs(m, col, row, 0, 1) && elevation(m, col, row) >= 80 && elevation(m, col, row) <= 95.25
			})},
		{"distance to several", Distance{Targets: []Target{{Layer: "cover", Classes: []string{"rock"}}, {Layer: "cover", Classes: []string{"water"}, Where: warm}}, Limit: 50}, 1e-7,
			bruteTargets(50, false, func(m *memoryReader, col, row int) bool {
				return classIs(m, col, row, 4) || classIs(m, col, row, 2) && elevation(m, col, row) >= 85
			})},
		{"distance to classes or features", Distance{Targets: []Target{{Layer: "cover", Classes: []string{"rock"}, Where: warm}, {Layer: "roads"}}, Limit: 70}, 1e-7,
			bruteTargets(70, true, func(m *memoryReader, col, row int) bool {
				for _, f := range m.features["roads"] {
					if f.col == col && f.row == row {
						return true
					}
				}
				return classIs(m, col, row, 4) && elevation(m, col, row) >= 85
			})},
	}
}

func classIs(m *memoryReader, col, row int, codes ...uint8) bool {
	b := m.blocks["cover"]
	for _, code := range codes {
		if b.Window.Has(col, row) && b.Code(col, row) == code {
			return true
		}
	}
	return false
}

func elevation(m *memoryReader, col, row int) float64 {
	if b := m.blocks["elev"]; b.Window.Has(col, row) {
		return float64(b.Value(col, row))
	}
	return math.NaN()
}

func bruteTargets(limit float64, features bool, is func(m *memoryReader, col, row int) bool) func(*memoryReader, int, int) float64 {
	return func(m *memoryReader, col, row int) float64 {
		b := m.blocks["cover"]
		if !features && (!b.Window.Has(col, row) || b.Code(col, row) == NoClass) {
			return math.NaN()
		}
		least := limit
		around(col, row, limit, m.grid.Cell, func(c, r int) {
			if is(m, c, r) {
				least = min(least, math.Hypot(float64(c-col), float64(r-row))*m.grid.Cell)
			}
		})
		return least
	}
}

// The distance to several is the least of the distances to each, where they are
// known, and is known where any of them is.
func TestDistanceToSeveralIsTheLeast(t *testing.T) {
	rng := measureRand(t)
	m := randomReader(rng, 10)
	other := NewCodes(m.grid.Window())
	for i := range other.Codes {
		if rng.IntN(3) > 0 {
			other.Codes[i] = uint8(rng.IntN(2))
		}
	}
	m.addClasses("soil", other, "sand", "clay")
	w := m.grid.Window().Grow(5)
	one := evalOf(t, Distance{Layer: "cover", Classes: []string{"rock"}, Limit: 40}, m, w)
	two := evalOf(t, Distance{Layer: "soil", Classes: []string{"sand"}, Limit: 40}, m, w)
	both := evalOf(t, Distance{Targets: []Target{{Layer: "soil", Classes: []string{"sand"}}, {Layer: "cover", Classes: []string{"rock"}}}, Limit: 40}, m, w)
	known := 0
	for i, v := range both.Values {
		a, b := one.Values[i], two.Values[i]
		switch {
		case (v == v) != (a == a || b == b):
			t.Fatalf("cell %d: %g of %g and %g", i, v, a, b)
		case a == a && b == b && v != min(a, b):
			t.Fatalf("cell %d: %g is not the least of %g and %g", i, v, a, b)
		case v > a || v > b:
			t.Fatalf("cell %d: %g is more than %g or %g", i, v, a, b)
		}
		if v == v {
			known++
		}
	}
	if known == 0 || known == len(both.Values) {
		t.Fatalf("%d of %d cells known", known, len(both.Values))
	}
}
