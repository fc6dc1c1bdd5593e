package project

import (
	"reflect"

	"github.com/goccy/go-yaml/ast"

	"tussock/layers"
	"tussock/suitability"
)

// profile is a species as it is written.
type profile struct {
	at
	ID          string       `yaml:"id" need:"yes" doc:"short and unique; files are named by it"`
	Name        string       `yaml:"name" doc:"the common name"`
	Scientific  string       `yaml:"scientific" doc:"the scientific name; records and ranges are found by it"`
	Group       string       `yaml:"group" doc:"amphibian, reptile, …"`
	Rule        combination  `yaml:"rule" doc:"how requisites combine; geometric where nothing is said"`
	Floor       *float64     `yaml:"floor" is:"[0,1)" doc:"least rating of a criterion; 0.01 where nothing is said"`
	Missing     missing      `yaml:"missing" doc:"what to do where an input is unknown; unknown where nothing is said"`
	Sensitivity string       `yaml:"sensitivity" of:"none|low|medium|high|extreme" doc:"harm that knowledge of a place could do (Chapman 2020)"`
	Range       rangeRule    `yaml:"range" doc:"how the documented range is used"`
	Source      string       `yaml:"source" doc:"who or what the profile is from, or assumption"`
	Requisites  []requisite  `yaml:"requisites" need:"yes" few:"1" doc:"life requisites: breeding, food, cover, winter"`
	Multipliers []multiplier `yaml:"multipliers" doc:"factors on the whole: shade, sealed ground, traffic"`
	Exclusions  []exclusion  `yaml:"exclusions" doc:"places where the species is held not to live"`
	facts
}

type rangeRule struct {
	at
	Edge     float64 `yaml:"edge" is:"[0,1000000]" doc:"how far outside the documented range still counts as its edge, metres"`
	Historic bool    `yaml:"historic" doc:"true to show historic range"`
}

type requisite struct {
	at
	ID       string      `yaml:"id" need:"yes" doc:"its name"`
	Weight   *float64    `yaml:"weight" is:"[0,1]" doc:"the weights of all requisites sum to 1"`
	Criteria []criterion `yaml:"criteria" need:"yes" few:"1" doc:"what is asked; criteria of one requisite make up for one another"`
}

// profileEntry is a profile in place, or the name of a file that holds one.
type profileEntry struct {
	File string
	profile
}

// elsewhere is an entry that names a file.
type elsewhere struct {
	File string `yaml:"file" need:"yes" doc:"a YAML file with one profile: the same keys, as one mapping"`
}

func (e *profileEntry) fromNode(d *document, n ast.Node, path string, r rule) {
	for _, pair := range pairsOf(n) {
		if textOfNode(pair.Key) == "file" {
			var other elsewhere
			d.decodeStruct(n, reflect.ValueOf(&other).Elem(), path)
			e.File, e.at = other.File, at{d, path}
			return
		}
	}
	d.decodeStruct(n, reflect.ValueOf(&e.profile).Elem(), path)
	e.at = at{d, path}
}

func pairsOf(n ast.Node) []*ast.MappingValueNode {
	pairs, _ := mappingOf(n)
	return pairs
}

// combination is a rule: a word, or {ordered: […]}, or {power: r}.
type combination struct{ suitability.Rule }

// numberedRule is a rule that needs numbers.
type numberedRule struct {
	Ordered []float64 `yaml:"ordered" is:"[0,1]" few:"1" doc:"one weight per requisite; the first goes to the best requisite"`
	Power   *float64  `yaml:"power" doc:"exponent of the power mean: 1 arithmetic, 0 geometric, far below 0 the minimum"`
}

var ruleWords = []string{"geometric", "arithmetic", "minimum"}

func (c *combination) fromNode(d *document, n ast.Node, path string, r rule) {
	if _, ok := mappingOf(n); !ok {
		var text string
		d.decodeText(n, reflect.ValueOf(&text).Elem(), path, rule{of: ruleWords})
		if text != "" {
			c.Rule, _ = suitability.ParseRule(text)
		}
		return
	}
	var numbered numberedRule
	d.decodeStruct(n, reflect.ValueOf(&numbered).Elem(), path)
	hasOrdered, hasPower := d.present(path, "ordered"), d.present(path, "power")
	switch {
	case hasOrdered == hasPower && !d.report.has(d.file, path):
		d.problem(path, "write ordered or power, or one of the words geometric, arithmetic, minimum", "a rule in braces has either `ordered` or `power`")
	case hasOrdered:
		c.Rule = suitability.Rule{Kind: suitability.Ordered, Weights: numbered.Ordered}
	case numbered.Power != nil:
		c.Rule = suitability.Rule{Kind: suitability.Power, Exponent: *numbered.Power}
	}
}

// missing is a word or a stated rating.
type missing struct{ suitability.Missing }

func (m *missing) fromNode(d *document, n ast.Node, path string, r rule) {
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		var value float64
		d.decodeNumber(n, reflect.ValueOf(&value).Elem(), path, rule{is: parseInterval("[0,1]")})
		m.Missing = suitability.Missing{Kind: suitability.MissingStated, Value: value}
	default:
		var text string
		d.decodeText(n, reflect.ValueOf(&text).Elem(), path, rule{of: missingWords})
		m.Missing, _ = suitability.ParseMissing(text)
	}
}

var missingWords = []string{"unknown", "leave out"}

func sensitivityOf(text string) layers.Sensitivity {
	s, _ := layers.ParseSensitivity(text)
	return s
}
