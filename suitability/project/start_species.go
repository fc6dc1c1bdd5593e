package project

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"time"

	"tussock/layers"
)

// exampleLayers is how many layers the example species asks about.
const exampleLayers = 3

// exampleWeights sum to 1 for one, two and three criteria.
var exampleWeights = [][]string{nil, {"1"}, {"0.5", "0.5"}, {"0.4", "0.3", "0.3"}}

func (s *starter) writeSpecies(b *strings.Builder) {
	name := s.exampleSpecies()
	id := cmp.Or(slug(name), "example")
	if len(id) > 64 {
		id = id[:64]
	}
	b.WriteString("\n# One example to start from. Every value below is an assumption, made only so that\n# the file works: have them put right by people who know the species.\nspecies:\n")
	fmt.Fprintf(b, "  - id: %s\n    name: %s\n", quoted(id), quoted(cmp.Or(oneLine(name), "Example species")))
	if name != "" {
		fmt.Fprintf(b, "    scientific: %s\n", quoted(name))
	}
	b.WriteString("    rule: geometric  # or arithmetic, minimum, {ordered: […]}, {power: r}\n    missing: unknown  # or leave out, or a rating from 0 to 1\n    sensitivity: none  # or low, medium, high, extreme\n")
	if len(s.ranges) > 0 {
		fmt.Fprintf(b, "    range: {edge: %s, historic: false}\n", decimal(10*s.grid.Cell))
	}
	b.WriteString("    source: assumption\n    requisites:\n      - id: habitat\n        weight: 1\n        criteria:  # their weights sum to 1\n")
	chosen := s.layers[:min(len(s.layers), exampleLayers)]
	for i, l := range chosen {
		s.writeCriterion(b, l, exampleWeights[len(chosen)][i])
	}
}

func (s *starter) writeCriterion(b *strings.Builder, l startLayer, weight string) {
	fmt.Fprintf(b, "          - id: %s\n            weight: %s\n            layer: %s\n", quoted(l.name), weight, quoted(l.name))
	radius := decimal(10 * s.grid.Cell)
	switch {
	case l.vector != nil:
		fmt.Fprintf(b, "            measure: distance\n            curve: [[0, 1], [%s, 0.1]]  # [metres, rating]\n", radius)
	case l.spec.Kind == layers.Classes:
		fmt.Fprintf(b, "            measure: share  # of these classes within the radius\n            radius: %s\n            classes: {%s: 1}\n            curve: [[0, 0.02], [0.5, 1]]  # [share, rating]\n", radius, quoted(l.raster.example()))
	default:
		low, high := l.raster.knots()
		fmt.Fprintf(b, "            measure: value\n            curve: [[%s, 0], [%s, 1]]  # [value, rating]\n", decimal(low), decimal(high))
	}
	b.WriteString("            source: assumption\n")
}

// knots are two measures to hang a curve on: the least and the greatest value,
// in few digits, and apart.
func (f *foundRaster) knots() (low, high float64) {
	low, high = rounded(f.low), rounded(f.high)
	if float32(low) < float32(high) {
		return low, high
	}
	return math.Floor(f.low), math.Floor(f.low) + max(1, math.Abs(f.low)*1e-3)
}

func rounded(v float64) float64 {
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	return r
}

// example is a class that occurs and that does not mean "nothing", if any.
func (f *foundRaster) example() string {
	names := f.present()
	for i, name := range names {
		if f.codes[i] != 0 {
			return name
		}
	}
	return names[0]
}

func modified(path string) time.Time {
	info, err := os.Stat(path)
	if err != nil {
		return time.Time{}
	}
	return info.ModTime().UTC()
}
