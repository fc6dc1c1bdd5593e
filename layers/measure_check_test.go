package layers

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

func TestMeasureMistakes(t *testing.T) {
	m := randomReader(measureRand(t), 10)
	m.addFeatures("lanes", memoryFeature{fields: map[string]string{"vehicles": ""}}, memoryFeature{fields: map[string]string{"vehicles": "50"}})
	m.addFeatures("tracks", memoryFeature{fields: map[string]string{"vehicles": "many"}})
	m.addPonds(t, measureRand(t))
	m.layers["lanes"].TrafficField, m.layers["tracks"].TrafficField = "vehicles", "vehicles"
	weights := map[string]float64{"heath": 1}
	north, inf := 71.0, math.Inf(1)
	walled := func(b Barrier) Measure { return Share{Layer: "cover", Radius: 50, Weights: weights, Barrier: b} }
	nearby := func(score string, fade float64, b Barrier) Measure {
		return NearbyBest{Layer: "ponds", Score: testScore(score), Fade: testFade(fade), Barrier: b}
	}
	to := func(targets ...Target) Measure { return Distance{Targets: targets, Limit: 50} }
	heath := Target{Layer: "cover", Classes: []string{"heath"}}
	where := func(c Condition) Measure { return to(Target{Layer: "cover", Classes: []string{"heath"}, Where: c}) }
	at := []WeightedPoint{{m.grid.Centre(1, 1), 1}}
	for _, c := range []struct {
		measure Measure
		says    []string
	}{
		{Value{Layer: "nowhere"}, []string{`"nowhere"`}},
		{Share{Layer: "elev", Radius: 50, Weights: weights}, []string{"elev", "quantity", "classes"}},
		{Share{Layer: "cover", Radius: 0, Weights: weights}, []string{"cover", "radius", "0 m"}},
		{Share{Layer: "cover", Radius: math.NaN(), Weights: weights}, []string{"radius", "NaN"}},
		{Share{Layer: "cover", Radius: math.Inf(1), Weights: weights}, []string{"radius", "Inf"}},
		{Share{Layer: "cover", Radius: 50}, []string{"no class is named", "heath"}},
		{Share{Layer: "cover", Radius: 50, Weights: map[string]float64{"heaht": 1}}, []string{`"heaht"`, `did you mean "heath"`}},
		{Share{Layer: "cover", Radius: 50, Weights: map[string]float64{"zzzzzzzz": 1}}, []string{"it has heath, mire"}},
		{Share{Layer: "cover", Radius: 50, Weights: map[string]float64{"heath": 1.2}}, []string{`"heath"`, "1.2"}},
		{Share{Layer: "cover", Radius: 50, Weights: map[string]float64{"heath": 1, "10": 1}}, []string{"named twice"}},
		{Share{Layer: "roads", Radius: 50, Weights: weights}, []string{"features have no classes"}},
		{Mean{Layer: "cover", Radius: 50}, []string{"cover", "quantity"}},
		{Mean{Layer: "elev", Radius: -1}, []string{"radius", "-1 m"}},
		{Mean{Layer: "elev", Radius: 5, Kernel: 7}, []string{"kernel"}},
		{Distance{Layer: "cover", Limit: 50}, []string{"no class is named"}},
		{Distance{Layer: "roads", Classes: []string{"a"}, Limit: 50}, []string{"features have no classes"}},
		{Distance{Layer: "roads"}, []string{"limit"}},
		{Density{Layer: "cover", Radius: 9}, []string{"features"}},
		{Density{Layer: "roads", Radius: 9, Field: "vehicle", Where: []string{"300"}}, []string{`did you mean "vehicles"`}},
		{Edge{Layer: "cover", A: []string{"heath"}, Radius: 9}, []string{"both sides"}},
		{Edge{Layer: "cover", A: []string{"heath"}, B: []string{"mire", "heath"}, Radius: 9}, []string{`"heath" is on both sides`}},
		{Terrain{Layer: "elev"}, []string{"slope, aspect, heat load or roughness"}},
		{Terrain{Layer: "cover", What: Slope}, []string{"slope", "quantity"}},
		{Terrain{Layer: "elev", What: HeatLoad, Latitude: &north}, []string{"71", "60"}},
		{Terrain{Layer: "elev", What: HeatLoad}, []string{"heat load"}},
		{RoadPressure{Layer: "lanes", Field: "vehicles", C: 1, Effect: 9}, []string{"missing", "hint"}},
		{RoadPressure{Layer: "tracks", Field: "vehicles", C: 1, Effect: 9}, []string{`"many"`, "hint"}},
		{RoadPressure{Layer: "roads", C: 1, Effect: 9}, []string{"no attribute is named"}},
		{RoadPressure{Layer: "roads", Field: "vehicles", Effect: 9}, []string{"c is 0"}},
		{walled(Barrier{"nowhere", 1}), []string{`"nowhere"`}},
		{walled(Barrier{"elev", 1}), []string{"barrier", `"cover"`, `"elev"`, "quantity", "features"}},
		{walled(Barrier{"roads", 1}), []string{"barrier", `"roads"`, "traffic", "hint"}},
		{walled(Barrier{"", 1}), []string{"barrier names no layer", "hint"}},
		{walled(Barrier{"walls", -1}), []string{"barrier", "-1"}},
		{walled(Barrier{"walls", math.NaN()}), []string{"barrier", "NaN"}},
		{walled(Barrier{"lanes", 1}), []string{"barrier", `"lanes"`, "missing", "hint"}},
		{walled(Barrier{"tracks", 1}), []string{"barrier", `"tracks"`, `"many"`, "hint"}},
		{Mean{Layer: "elev", Radius: 50, Barrier: Barrier{"roads", 1}}, []string{"mean", "barrier", "traffic"}},
		{Density{Layer: "roads", Radius: 50, Barrier: Barrier{"roads", 1}}, []string{"density", "barrier", "traffic"}},
		{nearby("score", 50, Barrier{"roads", 1}), []string{"nearby best", "barrier", "traffic"}},
		{nearby("score", 0, Barrier{}), []string{"ponds", "0 m"}},
		{nearby("score", inf, Barrier{}), []string{"ponds", "Inf"}},
		{nearby("scores", 50, Barrier{}), []string{"ponds", `"scores"`, `did you mean "score"`}},
		{NearbyBest{Layer: "cover", Score: testScore("score"), Fade: testFade(50)}, []string{"nearby best", "cover", "features"}},
		{NearbyBest{Layer: "nowhere", Score: testScore("score"), Fade: testFade(50)}, []string{`"nowhere"`}},
		{NearbyBest{Layer: "ponds"}, []string{"nearby best", "ponds", "score", "fade"}},
		{to(heath, Target{Layer: "cover", Classes: []string{"heaht"}}), []string{`did you mean "heath"`}},
		{to(heath, Target{Layer: "cover"}), []string{"no class is named"}},
		{to(heath, Target{Layer: "roads", Classes: []string{"a"}}), []string{"features have no classes"}},
		{to(heath, Target{Layer: "elev"}), []string{"distance", "elev", "quantity"}},
		{Distance{Layer: "cover", Targets: []Target{heath}, Limit: 50}, []string{"targets beside layer", "hint"}},
		{Distance{Targets: []Target{heath}}, []string{"limit", "0 m"}},
		{where(Condition{Layer: "elev"}), []string{"elev", "no bound", "hint"}},
		{where(Condition{Layer: "elev", From: &north, To: new(float64)}), []string{"71", "to 0"}},
		{where(Condition{Layer: "cover", From: &north}), []string{"condition", "cover", "quantity"}},
		{where(Condition{From: &north}), []string{"condition names no layer"}},
		{PointKernel{Of: "adder", Half: 1}, []string{"adder", "radius", "0 m"}},
		{PointKernel{Of: "adder", Radius: inf, Half: 1}, []string{"adder", "radius", "Inf"}},
		{PointKernel{Of: "adder", Radius: 9}, []string{"adder", "half is 0"}},
		{PointKernel{Of: "adder", Radius: 9, Half: 1, Points: append(at, WeightedPoint{At: orb.Point{3, 4}, Weight: -1})}, []string{"point 2", "x 3, y 4", "-1"}},
		{PointKernel{Of: "adder", Radius: 9, Half: 1, Points: []WeightedPoint{{orb.Point{inf, 4}, 1}}}, []string{"point 1", "finite"}},
		{PointKernel{Of: "adder", Radius: 9, Half: 1, TypicalEffort: 3}, []string{"typical effort", "hint"}},
		{PointKernel{Of: "adder", Radius: 9, Half: 1, Effort: "elev"}, []string{"typical effort is 0"}},
		{PointKernel{Of: "adder", Radius: 9, Half: 1, Effort: "cover", TypicalEffort: 3}, []string{"effort", "cover", "quantity"}},
	} {
		err := c.measure.Check(m)
		if err == nil {
			t.Errorf("%s: no error", c.measure.Key())
			continue
		}
		for _, word := range append(c.says, "layers: ") {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q does not say %q", c.measure.Key(), err, word)
			}
		}
		if _, is := c.measure.(Value); is {
			continue
		}
		if _, err := c.measure.Eval(m, m.grid.Window()); err == nil {
			t.Errorf("%s: taken all the same", c.measure.Key())
		}
	}
}

// Keys do not depend on the order in which things are named, and differ where
// the blocks may.
func TestMeasureKeys(t *testing.T) {
	same := [][2]Measure{
		{Distance{Layer: "cover", Classes: []string{"a", "b"}, Limit: 50}, Distance{Layer: "cover", Classes: []string{"b", "a"}, Limit: 50}},
		{Edge{"cover", []string{"a", "b"}, []string{"c"}, 5}, Edge{"cover", []string{"c"}, []string{"b", "a"}, 5}},
		{Value{Layer: "a"}, Value{Layer: "a", LayerUnit: "m"}},
		{Distance{Targets: []Target{{Layer: "a"}, {Layer: "b"}}, Limit: 5}, Distance{Targets: []Target{{Layer: "b"}, {Layer: "a"}}, Limit: 5}},
	}
	for _, pair := range same {
		if pair[0].Key() != pair[1].Key() {
			t.Errorf("%s and %s are the same", pair[0].Key(), pair[1].Key())
		}
	}
	latitude := 0.0
	from := 0.6
	warm := Condition{Layer: "heat", From: &from}
	a := Target{Layer: "a", Classes: []string{"x"}}
	busy, point := Barrier{"r", 1}, WeightedPoint{orb.Point{1, 2}, 0.5}
	best := func(layer, score string, fade float64, b Barrier) Measure {
		return NearbyBest{Layer: layer, Score: testScore(score), Fade: testFade(fade), Barrier: b}
	}
	keys := map[string]bool{}
	different := []Measure{
		Value{Layer: "a"}, Value{Layer: `a" radius="1`}, Value{Layer: "b"},
		Share{Layer: "a", Radius: 1, Weights: map[string]float64{"x": 1, "y": 0.1}}, Share{Layer: "a", Radius: 1, Weights: map[string]float64{"x": 1, "y": 0.2}}, Share{Layer: "a", Radius: 2, Weights: map[string]float64{"x": 1, "y": 0.1}},
		Mean{Layer: "a", Radius: 1}, Mean{Layer: "a", Radius: 1, Kernel: Gaussian}, Mean{Layer: "a", Radius: 1.0000000000000002},
		Distance{Layer: "a", Classes: []string{"x,y"}, Limit: 5}, Distance{Layer: "a", Classes: []string{"x", "y"}, Limit: 5}, Distance{Layer: "a", Limit: 5},
		Density{Layer: "a", Radius: 1}, Density{Layer: "a", Radius: 1, By: ByLength}, Density{Layer: "a", Radius: 1, Field: "f", Where: []string{"1"}},
		Edge{"a", []string{"x"}, []string{"y"}, 1}, Edge{"a", []string{"x"}, []string{"z"}, 1},
		Terrain{Layer: "a", What: Slope}, Terrain{Layer: "a", What: Aspect}, Terrain{Layer: "a", What: HeatLoad}, Terrain{Layer: "a", What: HeatLoad, Latitude: &latitude},
		RoadPressure{"a", "f", 1, 2}, RoadPressure{"a", "g", 1, 2}, RoadPressure{"a", "f", 2, 2}, RoadPressure{"a", "f", 1, 3},
		Share{Layer: "a", Radius: 1, Barrier: busy}, Share{Layer: "a", Radius: 1}, Share{Layer: "a", Radius: 1, Barrier: Barrier{"r", 2}}, Share{Layer: "a", Radius: 1, Barrier: Barrier{"s", 1}},
		Mean{Layer: "a", Radius: 1, Barrier: busy}, Density{Layer: "a", Radius: 1, Barrier: busy},
		best("a", "s", 1, Barrier{}), best("b", "s", 1, Barrier{}), best("a", "t", 1, Barrier{}), best("a", "s", 2, Barrier{}), best("a", "s", 1, busy),
		Distance{Targets: []Target{a}, Limit: 5}, Distance{Targets: []Target{a}, Limit: 6}, Distance{Targets: []Target{a, {Layer: "a"}}, Limit: 5},
		Distance{Targets: []Target{{Layer: "a", Classes: []string{"x"}, Where: warm}}, Limit: 5},
		Distance{Targets: []Target{{Layer: "a", Classes: []string{"x"}, Where: Condition{Layer: "heat", To: &from}}}, Limit: 5},
		PointKernel{Of: "x", Radius: 1, Half: 2}, PointKernel{Of: "y", Radius: 1, Half: 2}, PointKernel{Of: "x", Radius: 2, Half: 2}, PointKernel{Of: "x", Radius: 1, Half: 1},
		PointKernel{Of: "x", Radius: 1, Half: 2, Effort: "e", TypicalEffort: 1}, PointKernel{Of: "x", Radius: 1, Half: 2, Points: []WeightedPoint{point}},
		PointKernel{Of: "x", Radius: 1, Half: 2, Points: []WeightedPoint{point, point}}, PointKernel{Of: "x", Radius: 1, Half: 2, Points: []WeightedPoint{{point.At, 1}}},
	}
	for _, m := range different {
		if keys[m.Key()] {
			t.Errorf("%s is the key of two measures", m.Key())
		}
		keys[m.Key()] = true
	}
}

// The keys of measures as they were before barriers and targets came: what was
// published under them is still what they say.
func TestMeasureKeysStay(t *testing.T) {
	for want, m := range map[string]Measure{
		`share layer="a" radius=1 weights=["x":1,"y":0.1]`:           Share{Layer: "a", Radius: 1, Weights: map[string]float64{"y": 0.1, "x": 1}},
		`mean layer="a" radius=2.5 kernel=gaussian`:                  Mean{Layer: "a", Radius: 2.5, Kernel: Gaussian},
		`density layer="a" radius=1 by=length field="f" where=["1"]`: Density{Layer: "a", Radius: 1, By: ByLength, Field: "f", Where: []string{"1"}},
		`distance layer="a" classes=["x","y"] limit=5`:               Distance{Layer: "a", Classes: []string{"y", "x"}, Limit: 5},
		`distance layer="a" classes=[] limit=5`:                      Distance{Layer: "a", Limit: 5},
	} {
		if m.Key() != want {
			t.Errorf("%s is now %s", want, m.Key())
		}
	}
}

func TestMeasureWords(t *testing.T) {
	for _, name := range []string{"slope", "aspect", "heat load", "roughness"} {
		if k, err := ParseTerrainKind(name); err != nil || k.String() != name {
			t.Errorf("%q reads as %q, %v", name, k, err)
		}
	}
	for _, name := range []string{"flat", "gaussian"} {
		if k, err := ParseKernel(name); err != nil || k.String() != name {
			t.Errorf("%q reads as %q, %v", name, k, err)
		}
	}
	for _, name := range []string{"count", "length"} {
		if k, err := ParseDensityOf(name); err != nil || k.String() != name {
			t.Errorf("%q reads as %q, %v", name, k, err)
		}
	}
	_, terrain := ParseTerrainKind("")
	_, kernel := ParseKernel("box")
	_, density := ParseDensityOf("area")
	if terrain == nil || kernel == nil || density == nil {
		t.Error("an unknown word was read")
	}
}
