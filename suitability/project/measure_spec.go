package project

import (
	"slices"

	"tussock/layers"
)

// measureSpec is what the project file may say of one measure.
type measureSpec struct {
	name, doc string
	kinds     []layers.Kind // of layers that it can be taken of; nil for a measure of no layer
	needs     []string      // keys that must be there, besides measure and layer
	may       []string      // keys that may be there
	rated     bool          // it is a rating already: a curve may be left out
	make      func(t *term, m making) layers.Measure
}

// making is what a measure is made with, besides what its term says.
type making struct {
	supply
	unit    string // of the layer
	profile *profile
}

// measureKeys are the keys that belong to some measures only.
var measureKeys = []string{"radius", "classes", "limit", "kernel", "by", "field", "where", "a", "b", "c", "effect", "strength",
	"to", "barrier", "fade", "score", "species", "half", "effort", "typical_effort"}

var measureSpecs = []measureSpec{
	{"value", "the layer at the cell", []layers.Kind{layers.Classes, layers.Quantity, layers.Features},
		nil, nil, false, makeValue},
	{"share", "class-weighted fraction of the known cells within a radius, 0 to 1", []layers.Kind{layers.Classes, layers.Features},
		[]string{"radius"}, []string{"classes", "barrier"}, false, makeShare},
	{"mean", "mean within a radius", []layers.Kind{layers.Quantity, layers.Features},
		[]string{"radius"}, []string{"kernel", "barrier"}, false, makeMean},
	{"distance", "distance to the nearest cell of a class, or to the nearest feature, metres", []layers.Kind{layers.Classes, layers.Features},
		nil, []string{"classes", "limit", "to"}, false, makeDistance},
	{"density", "features, or length of features, per square kilometre within a radius", []layers.Kind{layers.Features},
		[]string{"radius"}, []string{"by", "field", "where", "barrier"}, false, makeDensity},
	{"edge", "edge between two sets of classes within a radius, metres per hectare", []layers.Kind{layers.Classes},
		[]string{"radius", "a", "b"}, nil, false, makeEdge},
	{"nearby best", "score of the best feature near by, faded by distance, 0 to 1", []layers.Kind{layers.Features},
		[]string{"fade", "score"}, []string{"barrier"}, true, makeNearbyBest},
	{"slope", "steepness, degrees", []layers.Kind{layers.Quantity}, nil, nil, false, makeTerrain(layers.Slope)},
	{"aspect", "the direction that the ground faces, degrees from north", []layers.Kind{layers.Quantity}, nil, nil, false, makeTerrain(layers.Aspect)},
	{"heat load", "warmth from slope, aspect and latitude, an index", []layers.Kind{layers.Quantity}, nil, nil, false, makeTerrain(layers.HeatLoad)},
	{"roughness", "range of elevation among a cell and its neighbours", []layers.Kind{layers.Quantity}, nil, nil, false, makeTerrain(layers.Roughness)},
	{"road pressure", "how hard the worst road near by presses, 0 to 1", []layers.Kind{layers.Features},
		[]string{"c", "effect"}, []string{"strength"}, false, makeRoadPressure},
	{"records", "how much is known of the species near by: its own records within a radius, 0 to 1", nil,
		[]string{"radius", "half"}, []string{"effort", "typical_effort"}, true, makeRecords},
	{"species", "greatest suitability of other species within a radius, 0 to 1", nil,
		[]string{"species", "radius"}, nil, false, makeSpecies},
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
	return key == "layer" && m.kinds != nil || slices.Contains(m.needs, key) || slices.Contains(m.may, key)
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
