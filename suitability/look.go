package suitability

import (
	"fmt"
	"image/color"

	"tussock/layers"
)

// Look are the colours that the rasters carry inside, so that a general map
// program shows them as the tiles do. The floor above chooses them.
type Look struct {
	Ramp      []color.NRGBA            // for the stored bytes 0 to 200
	Classes   []color.NRGBA            // one per class, from the least suitable
	Standings map[Standing]color.NRGBA // one per standing
}

// ClassWords are the words for n classes; beyond the usual five they are
// numbered.
func ClassWords(n int) []string {
	if words := DefaultClassWords(); len(words) == n {
		return words
	}
	words := make([]string, n)
	for i := range words {
		words[i] = fmt.Sprintf("class %d", i+1)
	}
	return words
}

// Legend names every class with its bounds: "good (0.6 to 0.8)".
func (c Classes) Legend(colours []color.NRGBA) []layers.Class {
	var legend []layers.Class
	lower := 0.0
	for i, word := range ClassWords(len(c) + 1) {
		upper := 1.0
		if i < len(c) {
			upper = c[i]
		}
		class := layers.Class{Value: i, Name: fmt.Sprintf("%s (%g to %g)", word, lower, upper)}
		if i < len(colours) {
			class.Colour = colours[i]
		}
		legend = append(legend, class)
		lower = upper
	}
	return legend
}

// StandingLegend names every standing.
func StandingLegend(colours map[Standing]color.NRGBA) []layers.Class {
	var legend []layers.Class
	for _, s := range Standings() {
		legend = append(legend, layers.Class{Value: int(s), Name: s.Words(), Colour: colours[s]})
	}
	return legend
}
