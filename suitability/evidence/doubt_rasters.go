package evidence

import (
	"encoding/json"
	"image/color"
	"strconv"

	"tussock/layers"
	"tussock/suitability"
)

// DoubtLook are the colours of the rasters of doubt. The floor above chooses them.
type DoubtLook struct {
	Stability []color.NRGBA             // for shares of 0 to 1 in steps of 0.005
	Sources   []color.NRGBA             // none, weights, curves, rule
	Changes   func(n int) []color.NRGBA // n colours: for none, and for the changes
}

// The rasters, by their place in the companion.
const (
	medianRaster = iota
	p10Raster
	p90Raster
	modalRaster
	stabilityRaster
	sourceRaster
	changeRaster
)

const doubtWords = "A spread of what might as well have been assumed, drawn from stated widths; no probability that an animal is there. " +
	"Where the stability is low, a class is no answer."

// NewDoubt plans the rasters of doubt about one species' map.
func NewDoubt(plan *suitability.Plan, species string, d Doubt, look DoubtLook) (*suitability.CompanionPlan, error) {
	j, err := newDoubting(plan, species, d)
	if err != nil {
		return nil, err
	}
	return plan.Companion(suitability.Companion{
		Kind: "doubt", Species: species, Title: "how far its map may be doubted", Caution: doubtWords,
		Recipe: doubtRecipe{doubtVersion, d.canonical(), j.changes()}, Rasters: j.rasters(look),
		Metadata: map[string]string{"DRAWS": strconv.Itoa(d.Draws), "SEED": strconv.FormatUint(d.Seed, 10)},
		Fill: func(w layers.Window, cells [][]uint8) ([]byte, error) {
			note, err := j.fill(w, cells)
			if err != nil {
				return nil, err
			}
			return json.Marshal(note)
		},
		Facts: j.facts,
	})
}

// doubtVersion changes when the same draws would give other bytes.
const doubtVersion = "1"

type doubtRecipe struct {
	Version string
	Doubt   []any
	Changes []string
}

// canonical is the doubt in JSON's terms, which have no infinity.
func (d Doubt) canonical() []any {
	concentration := d.Concentration
	if !d.variesWeights() {
		concentration = 0
	}
	return []any{d.Draws, d.Seed, concentration, d.KnotX, d.KnotY, d.Rules}
}

func (j *doubting) rasters(look DoubtLook) []suitability.CompanionRaster {
	job := j.plan.Job()
	number := func(name, words string, palette []color.NRGBA) suitability.CompanionRaster {
		return suitability.CompanionRaster{Name: name, Words: words, Unit: "1", Scale: suitability.ByteScale, Palette: palette}
	}
	ramp := job.Look.Ramp
	return []suitability.CompanionRaster{
		medianRaster:    number("median", "median suitability over all draws", ramp),
		p10Raster:       number("p10", "suitability that a tenth of the draws do not exceed", ramp),
		p90Raster:       number("p90", "suitability that nine tenths of the draws do not exceed", ramp),
		modalRaster:     {Name: "modal", Words: "class of most draws", Classes: job.Classes.Legend(job.Look.Classes)},
		stabilityRaster: number("stability", "share of draws in the class of most draws", look.Stability),
		sourceRaster:    {Name: "source", Words: "what moves the suitability most, one source varied at a time", Classes: coded(sourceWords[:], look.Sources)},
		changeRaster:    {Name: "change", Words: "the single change that would move the class", Classes: coded(j.changes(), look.changes(len(j.changes())))},
	}
}

var sourceWords = [...]string{"nothing moves it", "weights", "curves", "rule of combination"}

func (l DoubtLook) changes(n int) []color.NRGBA {
	if l.Changes == nil {
		return nil
	}
	return l.Changes(n)
}

// coded are classes with the codes 0, 1, …
func coded(words []string, colours []color.NRGBA) []layers.Class {
	list := make([]layers.Class, len(words))
	for i, w := range words {
		list[i] = layers.Class{Value: i, Name: w}
		if i < len(colours) {
			list[i].Colour = colours[i]
		}
	}
	return list
}
