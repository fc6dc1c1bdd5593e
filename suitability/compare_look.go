package suitability

import (
	"fmt"
	"image/color"

	"tussock/layers"
)

// ChangeLook are the colours of comparisons. The floor above chooses them.
type ChangeLook struct {
	Difference []color.NRGBA // 201, for −1 to 1 in hundredths
	Classes    []color.NRGBA // from most classes down, over none, to most up: an odd number
	Appeared   color.NRGBA
	Vanished   color.NRGBA
	Unknown    color.NRGBA // became not assessed
	Known      color.NRGBA // was not assessed, and is now
}

// classes are the legend of the raster of change, between versions of n classes
// each, or of different ones.
func (l ChangeLook) classes(n states, comparable bool) []layers.Class {
	var legend []layers.Class
	add := func(code int, words string, colour color.NRGBA) {
		legend = append(legend, layers.Class{Value: code, Name: words, Colour: colour})
	}
	middle := len(l.Classes) / 2
	switch {
	case comparable:
		for d := 1 - int(n); d < int(n); d++ {
			add(changeNone+d, stepWords(d), l.step(middle+d))
		}
	default:
		add(changeNone, "a class in both; the classes differ", l.step(middle))
	}
	add(changeAppeared, "appeared: a class where none was shown", l.Appeared)
	add(changeVanished, "vanished: no class is shown now", l.Vanished)
	add(changeUnknown, "became not assessed", l.Unknown)
	add(changeKnown, "not assessed before, assessed now", l.Known)
	return legend
}

// step is the colour of a number of classes; clear where the look has none.
func (l ChangeLook) step(i int) color.NRGBA {
	if i < 0 || i >= len(l.Classes) {
		return color.NRGBA{}
	}
	return l.Classes[i]
}

func stepWords(d int) string {
	word := "up"
	switch {
	case d == 0:
		return "same class"
	case d < 0:
		word, d = "down", -d
	}
	if d == 1 {
		return "1 class " + word
	}
	return fmt.Sprintf("%d classes %s", d, word)
}

// stops are every tenth colour of the difference, with its number.
func (l ChangeLook) stops() []layers.StyleStop {
	var stops []layers.StyleStop
	for i := 0; i < len(l.Difference); i += 10 {
		v := float64(i-differenceNone) / differenceNone
		stops = append(stops, layers.StyleStop{Value: v, Colour: l.Difference[i], Label: fmt.Sprintf("%+.2f", v)})
	}
	return stops
}
