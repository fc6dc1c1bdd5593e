package project

import (
	"reflect"

	"github.com/goccy/go-yaml/ast"
)

type criterion struct {
	at
	ID     string   `yaml:"id" need:"yes" doc:"its name"`
	Weight *float64 `yaml:"weight" is:"[0,1]" doc:"the weights of a requisite's criteria sum to 1"`
	term
	rating
	Source string `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

type multiplier struct {
	at
	ID string `yaml:"id" need:"yes" doc:"its name"`
	term
	rating
	Source string `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

type exclusion struct {
	at
	ID string `yaml:"id" need:"yes" doc:"its name"`
	term
	Below  *float64 `yaml:"below" doc:"excluded where the measure is less"`
	Above  *float64 `yaml:"above" doc:"excluded where the measure is more"`
	Source string   `yaml:"source" doc:"who or what says so, or assumption; the profile's where nothing is said"`
}

// term is a measure with all keys that any measure may have; measures tells
// which of them belong to which.
type term struct {
	Measure  string   `yaml:"measure" doc:"what is measured; value where an exclusion says nothing"`
	Layer    string   `yaml:"layer" doc:"the layer that is measured"`
	Radius   float64  `yaml:"radius" is:"(0,1000000]" doc:"how far is looked around, metres"`
	Classes  classSet `yaml:"classes" doc:"classes of the layer: a list, or a mapping to weights from 0 to 1"`
	Limit    float64  `yaml:"limit" is:"(0,1000000]" doc:"how far a distance is followed, metres; the last knot of the curve where nothing is said"`
	Kernel   string   `yaml:"kernel" of:"flat|gaussian" doc:"how neighbours count; flat where nothing is said"`
	By       string   `yaml:"by" of:"count|length" doc:"count features, or their length; count where nothing is said"`
	Field    string   `yaml:"field" doc:"attribute of the features that where looks at"`
	Where    []word   `yaml:"where" few:"1" doc:"values of the attribute that count"`
	A        []word   `yaml:"a" few:"1" doc:"classes on one side of the edge"`
	B        []word   `yaml:"b" few:"1" doc:"classes on the other side"`
	C        float64  `yaml:"c" is:"(0,]" doc:"how fast disturbance grows with vehicles per day: 1 − e^(−c·V)"`
	Effect   float64  `yaml:"effect" is:"(0,1000000]" doc:"how far a road is felt, metres"`
	Strength float64  `yaml:"strength" is:"(0,1]" doc:"share of suitability that is lost beside a road of endless traffic"`

	To            []target     `yaml:"to" few:"1" doc:"several things to be near, in place of layer and classes; the nearest counts"`
	Barrier       barrier      `yaml:"barrier" doc:"busy roads that cut the circle: what lies behind them does not count"`
	Fade          []knot       `yaml:"fade" few:"2" doc:"[metres, factor] points, falling: how the worth of a feature fades with distance; none counts beyond the last"`
	Score         featureScore `yaml:"score" doc:"how a feature is rated by its attributes"`
	Species       []string     `yaml:"species" few:"1" doc:"ids of other species of the project; the most suitable counts"`
	Half          float64      `yaml:"half" is:"(0,]" doc:"how many records on the spot give a rating of one half"`
	Effort        string       `yaml:"effort" doc:"a layer of how much was looked for, a quantity"`
	TypicalEffort float64      `yaml:"typical_effort" is:"(0,]" doc:"the effort that records are not divided for, in the layer's unit"`

	byClass bool // an exclusion of classes at the cell: classes are its own, not the measure's
}

// rating is how a measure is rated: by a curve, or class by class.
type rating struct {
	Curve []knot           `yaml:"curve" few:"2" doc:"[measure, rating] points, rising in measure; straight between, level beyond"`
	Table ordered[float64] `yaml:"table" is:"[0,1]" doc:"rating by class, 0 to 1; classes that are left out are unknown"`
}

// knot is a measure and its rating.
type knot [2]float64

// classSet is a list of classes, or a mapping of classes to weights.
type classSet struct {
	names    []word
	weights  []float64 // nil for a list
	weighted bool
}

func (s *classSet) fromNode(d *document, n ast.Node, path string, r rule) {
	if _, ok := mappingOf(n); ok {
		s.weighted = true
		for _, e := range d.entries(n, path) {
			var weight float64
			d.decode(e.value, reflect.ValueOf(&weight).Elem(), join(path, e.key), rule{is: parseInterval("[0,1]")})
			s.names, s.weights = append(s.names, word(e.key)), append(s.weights, weight)
		}
	} else if _, ok := n.(*ast.SequenceNode); ok {
		d.decodeList(n, reflect.ValueOf(&s.names).Elem(), path, rule{})
	} else {
		d.wrongType(n, path, "a list of classes, or a mapping of classes to weights")
		return
	}
	if len(s.names) == 0 {
		d.problem(path, "name at least one class", "no class is named")
	}
}
