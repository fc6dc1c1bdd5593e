package layers

import (
	"math"
	"testing"
)

// TestRoadKill: of the amphibians that crossed a road of 3207 vehicles a day,
// 0.34 to 0.61 were killed: Hels T, Buchwald E (2001), Biological Conservation
// 99:331-340. On the road itself the pressure is the chance to be killed, and
// the two constants reproduce the two ends. That it grows as 1 − e^(−cV) is an
// assumption; half way to the effect's end it is half, by the formula.
func TestRoadKill(t *testing.T) {
	m := newMemoryReader(25)
	m.addFeatures("roads", memoryFeature{col: 20, row: 15, metres: 25, fields: map[string]string{"vehicles_per_day": "3207"}})
	for _, c := range []struct{ constant, killed, published float64 }{
		{1.3e-4, 0.341, 0.34},
		{2.9e-4, 0.605, 0.61},
	} {
		p := RoadPressure{Layer: "roads", Field: "vehicles_per_day", C: c.constant, Effect: 250}
		b, err := p.Eval(m, m.grid.Window())
		if err != nil {
			t.Fatal(err)
		}
		on, halfWay := float64(b.Value(20, 15)), float64(b.Value(25, 15))
		if math.Abs(on-c.killed) > 0.0005 || math.Abs(on-c.published) > 0.006 {
			t.Errorf("c %g: %g are killed, not %g (published %g)", c.constant, on, c.killed, c.published)
		}
		if math.Abs(halfWay-on/2) > 1e-6 {
			t.Errorf("c %g: %g at 125 m of 250, not half of %g", c.constant, halfWay, on)
		}
	}
}
