package layers

import (
	"math"
	"strings"
	"testing"
)

func TestMeasureMistakes(t *testing.T) {
	m := randomReader(measureRand(t), 10)
	m.addFeatures("lanes", memoryFeature{fields: map[string]string{"vehicles": ""}}, memoryFeature{fields: map[string]string{"vehicles": "50"}})
	m.addFeatures("tracks", memoryFeature{fields: map[string]string{"vehicles": "many"}})
	weights := map[string]float64{"heath": 1}
	north := 71.0
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
	}
	for _, pair := range same {
		if pair[0].Key() != pair[1].Key() {
			t.Errorf("%s and %s are the same", pair[0].Key(), pair[1].Key())
		}
	}
	latitude := 0.0
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
	}
	for _, m := range different {
		if keys[m.Key()] {
			t.Errorf("%s is the key of two measures", m.Key())
		}
		keys[m.Key()] = true
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
