package project

import (
	"slices"

	"tussock/layers"
)

// measureSpec is what the project file may say of one measure.
type measureSpec struct {
	name, doc string
	kinds     []layers.Kind // of layers that it can be taken of
	needs     []string      // keys that must be there, besides measure and layer
	may       []string      // keys that may be there
	make      func(t *term, unit string) layers.Measure
}

// measureKeys are the keys that belong to some measures only.
var measureKeys = []string{"radius", "classes", "limit", "kernel", "by", "field", "where", "a", "b", "c", "effect", "strength"}

var measureSpecs = []measureSpec{
	{"value", "the layer at the cell", []layers.Kind{layers.Classes, layers.Quantity, layers.Features},
		nil, nil, makeValue},
	{"share", "class-weighted fraction of the known cells within a radius, 0 to 1", []layers.Kind{layers.Classes, layers.Features},
		[]string{"radius"}, []string{"classes"}, makeShare},
	{"mean", "mean within a radius", []layers.Kind{layers.Quantity, layers.Features},
		[]string{"radius"}, []string{"kernel"}, makeMean},
	{"distance", "distance to the nearest cell of a class, or to the nearest feature, metres", []layers.Kind{layers.Classes, layers.Features},
		nil, []string{"classes", "limit"}, makeDistance},
	{"density", "features, or length of features, per square kilometre within a radius", []layers.Kind{layers.Features},
		[]string{"radius"}, []string{"by", "field", "where"}, makeDensity},
	{"edge", "edge between two sets of classes within a radius, metres per hectare", []layers.Kind{layers.Classes},
		[]string{"radius", "a", "b"}, nil, makeEdge},
	{"slope", "steepness, degrees", []layers.Kind{layers.Quantity}, nil, nil, makeTerrain(layers.Slope)},
	{"aspect", "the direction that the ground faces, degrees from north", []layers.Kind{layers.Quantity}, nil, nil, makeTerrain(layers.Aspect)},
	{"heat load", "warmth from slope, aspect and latitude, an index", []layers.Kind{layers.Quantity}, nil, nil, makeTerrain(layers.HeatLoad)},
	{"roughness", "range of elevation among a cell and its neighbours", []layers.Kind{layers.Quantity}, nil, nil, makeTerrain(layers.Roughness)},
	{"road pressure", "how hard the worst road near by presses, 0 to 1", []layers.Kind{layers.Features},
		[]string{"c", "effect"}, []string{"strength"}, makeRoadPressure},
}

// measureNamed is the measure of that name, or nil.
func measureNamed(name string) *measureSpec {
	for i := range measureSpecs {
		if measureSpecs[i].name == name {
			return &measureSpecs[i]
		}
	}
	return nil
}

func measureNames() []string {
	names := make([]string, len(measureSpecs))
	for i, m := range measureSpecs {
		names[i] = m.name
	}
	return names
}

// takes tells whether a key belongs to the measure.
func (m *measureSpec) takes(key string) bool {
	return slices.Contains(m.needs, key) || slices.Contains(m.may, key)
}

// measuresTaking are the measures that a key belongs to.
func measuresTaking(key string) []string {
	var names []string
	for _, m := range measureSpecs {
		if m.takes(key) {
			names = append(names, m.name)
		}
	}
	return names
}

func makeValue(t *term, unit string) layers.Measure {
	return layers.Value{Layer: t.Layer, LayerUnit: unit}
}

// makeShare gives the classes of a plain list the weight 1.
func makeShare(t *term, unit string) layers.Measure {
	s := layers.Share{Layer: t.Layer, Radius: t.Radius}
	for i, name := range t.Classes.names {
		if s.Weights == nil {
			s.Weights = map[string]float64{}
		}
		s.Weights[string(name)] = 1
		if t.Classes.weighted {
			s.Weights[string(name)] = t.Classes.weights[i]
		}
	}
	return s
}

func makeMean(t *term, unit string) layers.Measure {
	kernel, _ := layers.ParseKernel(t.Kernel)
	return layers.Mean{Layer: t.Layer, Radius: t.Radius, Kernel: kernel, LayerUnit: unit}
}

func makeDistance(t *term, unit string) layers.Measure {
	return layers.Distance{Layer: t.Layer, Classes: texts(t.Classes.names), Limit: t.Limit}
}

func makeDensity(t *term, unit string) layers.Measure {
	by, _ := layers.ParseDensityOf(t.By)
	return layers.Density{Layer: t.Layer, Radius: t.Radius, By: by, Field: t.Field, Where: texts(t.Where)}
}

func makeEdge(t *term, unit string) layers.Measure {
	return layers.Edge{Layer: t.Layer, A: texts(t.A), B: texts(t.B), Radius: t.Radius}
}

func makeTerrain(what layers.TerrainKind) func(*term, string) layers.Measure {
	return func(t *term, unit string) layers.Measure { return layers.Terrain{Layer: t.Layer, What: what} }
}

func makeRoadPressure(t *term, unit string) layers.Measure {
	return layers.RoadPressure{Layer: t.Layer, C: t.C, Effect: t.Effect}
}

func texts(words []word) []string {
	var list []string
	for _, w := range words {
		list = append(list, string(w))
	}
	return list
}
