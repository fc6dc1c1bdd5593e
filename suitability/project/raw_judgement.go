package project

import (
	"regexp"
	"strconv"

	"github.com/goccy/go-yaml/ast"
)

// judgements are what experts said about the weights of one list of a profile.
type judgements struct {
	at
	Species  string     `yaml:"species" need:"yes" doc:"the species' id"`
	Of       string     `yaml:"of" need:"yes" doc:"requisites, or the id of the requisite whose criteria are weighed"`
	Kind     string     `yaml:"kind" need:"yes" of:"pairwise|intervals|direct" doc:"how experts were asked"`
	Date     day        `yaml:"date" need:"yes" doc:"the day on which they were asked, as 2026-05-20"`
	Evidence string     `yaml:"evidence" doc:"what they had before them"`
	Experts  []judgeRaw `yaml:"experts" need:"yes" few:"1" doc:"one entry per expert"`
}

// judgeRaw is what one expert said, in the one of three ways that the kind names.
type judgeRaw struct {
	at
	Code      string                  `yaml:"code" need:"yes" doc:"a code that stands for the expert; no name is needed"`
	Evidence  string                  `yaml:"evidence" doc:"what this expert knows it from"`
	Pairwise  ordered[ordered[times]] `yaml:"pairwise" doc:"how many times as much the first counts as the second, 1/9 to 9; each pair once"`
	Intervals ordered[fourSteps]      `yaml:"intervals" doc:"four answers for each item, in any one unit"`
	Direct    ordered[float64]        `yaml:"direct" is:"[0,]" doc:"a weight for each item, in any one unit"`
}

// fourSteps are one item's four answers.
type fourSteps struct {
	at
	Lowest     float64 `yaml:"lowest" need:"yes" is:"[0,]" doc:"what it is at least"`
	Highest    float64 `yaml:"highest" need:"yes" is:"[0,]" doc:"what it is at most"`
	Best       float64 `yaml:"best" need:"yes" is:"[0,]" doc:"the best guess"`
	Confidence float64 `yaml:"confidence" need:"yes" is:"[50,100]" doc:"how sure that the truth lies between, per cent"`
}

// times is how many times as much one item counts as another: 3, or 1/3.
type times float64

var fraction = regexp.MustCompile(`^([0-9]{1,4}) ?/ ?([0-9]{1,4})$`)

// scaleOfNine is the scale of comparisons: Saaty TL (1980), 1 to 9 and their
// reciprocals, with a little room for a ninth that was rounded.
var scaleOfNine = parseInterval("[0.11,9]")

func (v *times) fromNode(d *document, n ast.Node, path string, r rule) {
	var number float64
	var ok bool
	if parts := fraction.FindStringSubmatch(textOfNode(n)); parts != nil {
		above, _ := strconv.ParseFloat(parts[1], 64)
		below, _ := strconv.ParseFloat(parts[2], 64)
		number, ok = above/below, true
	} else {
		number, ok = d.number(n, path)
	}
	switch {
	case !ok:
	case !scaleOfNine.holds(number):
		d.problem(path, "the scale ends at 9: what is more than 9 times as much is better not compared directly", "%s is out of bounds: it must be from 1/9 to 9", textOfNode(n))
	default:
		*v = times(number)
	}
}
