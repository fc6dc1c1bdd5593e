package suitability

import (
	"fmt"
	"math"

	"tussock/layers"
)

// states are what a cell of one version can show: one of its classes, or why it
// shows none. Classes are numbered from 0; the three others come behind them.
type states int // the number of classes

// The states behind the classes.
const (
	stateOutside     = iota // not shown: outside the documented range, at its edge, historic, vagrant
	stateExcluded           // an exclusion holds
	stateNotAssessed        // an input is unknown
	statesBehind
)

var stateWords = [statesBehind]string{"not shown: outside documented range", "excluded", "not assessed"}

func (n states) count() int         { return int(n) + statesBehind }
func (n states) behind(k int) uint8 { return uint8(int(n) + k) }

// names are the states in words.
func (n states) names(classes []layers.Class) []string {
	var names []string
	for _, c := range classes {
		names = append(names, c.Name)
	}
	return append(names, stateWords[:]...)
}

// table finds the state of a standing: of the class byte itself where it is
// negative.
func (n states) table() (byStanding [256]int16) {
	for s := range byStanding {
		switch Standing(s) {
		case Excluded:
			byStanding[s] = int16(n.behind(stateExcluded))
		case Edge, Outside, Vagrant:
			byStanding[s] = int16(n.behind(stateOutside))
		default:
			byStanding[s] = -1
		}
	}
	return byStanding
}

// of fills the states of cells from their classes and standings. A class that
// the legend lacks is an error, with its place.
func (n states) of(out, classes, standings []uint8) error {
	table := n.table()
	for i, class := range classes {
		switch state := table[standings[i]]; {
		case state >= 0:
			out[i] = uint8(state)
		case int(class) < int(n):
			out[i] = class
		case class != ByteNodata:
			return &strangeClass{i, class}
		case Standing(standings[i]) == NotAssessed:
			out[i] = n.behind(stateNotAssessed)
		default:
			out[i] = n.behind(stateOutside)
		}
	}
	return nil
}

// strangeClass is a class that the legend lacks, in the cell at an index.
type strangeClass struct {
	at    int
	class uint8
}

func (e *strangeClass) Error() string {
	return fmt.Sprintf("class %d is not in the legend", e.class)
}

// The codes of the raster of change. Between two classes it is changeNone plus
// the number of classes up, or minus those down.
const (
	changeNone     = 100
	changeAppeared = 201 // a class where none was shown, or an exclusion held
	changeVanished = 202
	changeUnknown  = 203 // became not assessed
	changeKnown    = 204 // was not assessed, and is now
)

// changeCodes are the codes by old and new state: old·count(new) + new. Where the
// two versions have different classes, steps between them mean nothing, and a
// class in both is changeNone.
func changeCodes(old, now states, comparable bool) []uint8 {
	codes := make([]uint8, 0, old.count()*now.count())
	for a := range old.count() {
		for b := range now.count() {
			codes = append(codes, changeCode(old, now, uint8(a), uint8(b), comparable))
		}
	}
	return codes
}

func changeCode(old, now states, a, b uint8, comparable bool) uint8 {
	was, is := int(a) < int(old), int(b) < int(now)
	unknownBefore, unknownNow := a == old.behind(stateNotAssessed), b == now.behind(stateNotAssessed)
	switch {
	case was && is && comparable:
		return uint8(changeNone + int(b) - int(a))
	case was && is:
		return changeNone
	case unknownBefore && unknownNow:
		return ByteNodata
	case unknownNow:
		return changeUnknown
	case unknownBefore:
		return changeKnown
	case is:
		return changeAppeared
	case was:
		return changeVanished
	}
	return ByteNodata
}

// The bytes of the raster of difference: hundredths of suitability, with
// differenceNone for none.
const (
	differenceScale  = 0.01
	differenceOffset = -1
	differenceNone   = 100
)

// differenceCode is new − old in steps of 0.005, rounded away from 0 to whole
// hundredths, so that only equal cells look equal; nodata where either is
// unknown.
func differenceCode(steps float64) uint8 {
	if steps != steps {
		return ByteNodata
	}
	hundredths := math.Min(math.Ceil(math.Abs(steps)/2), 100)
	return uint8(differenceNone + math.Copysign(hundredths, steps))
}
