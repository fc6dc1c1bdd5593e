package suitability

import (
	"fmt"
	"slices"
	"strings"
)

// because says in one sentence why two versions differ, and claims no more than
// the items tell.
func because(changed []Part, unrecorded []string, same bool) string {
	causes, effects := causesOf(changed)
	if len(causes) == 0 {
		return nothingKnown(changed, unrecorded, same)
	}
	listed := strings.Join(causes, "; ")
	if len(effects) > 0 {
		listed += ", and with it " + strings.Join(effects, "; ")
	}
	text := ""
	switch {
	case same:
		text = fmt.Sprintf("Changed, without an effect on any cell: %s.", listed)
	case len(unrecorded) > 0: // so that nobody knows how many things changed
		text = fmt.Sprintf("Changed: %s.", listed)
	case len(causes) == 1:
		text = fmt.Sprintf("One thing changed: %s.", listed)
	default:
		text = fmt.Sprintf("%d things changed at once: %s. The maps cannot tell which of them did how much; change one at a time to know.", len(causes), listed)
	}
	if len(unrecorded) > 0 {
		text += " Not recorded, and perhaps changed as well: " + strings.Join(unrecorded, ", ") + "."
	}
	return text
}

// nothingKnown is for versions of which no changed part could change a cell.
func nothingKnown(changed []Part, unrecorded []string, same bool) string {
	switch {
	case len(unrecorded) > 0:
		return "Not recorded: " + strings.Join(unrecorded, ", ") + "; what else the maps are made from is the same."
	case len(changed) > 0 && same:
		return "Nothing changed that shapes cells."
	}
	return "Nothing changed that the items record."
}

// causesOf are the words of the parts that could change cells: those that changed
// by themselves, and those that only follow from one of them. Without a part
// that they could follow from, all count as causes.
func causesOf(changed []Part) (causes, effects []string) {
	ledBy := slices.ContainsFunc(changed, Part.leads)
	for _, p := range changed {
		switch {
		case !p.Cells:
		case ledBy && p.follows():
			effects = append(effects, p.wordsAmong(changed))
		default:
			causes = append(causes, p.wordsAmong(changed))
		}
	}
	return causes, effects
}

// leads tells whether other parts follow from a change of this one.
func (p Part) leads() bool {
	return p.Kind == PartEngine || p.Kind == PartProfile || p.Kind == PartModel && !p.oneSided()
}

// follows tells whether the part cannot change by itself: a profile, or that of
// a species on which it rests, decides which layers, records and other species
// are looked at, and how coarse the map is.
func (p Part) follows() bool {
	switch p.Kind {
	case PartLayer, PartModel:
		return p.oneSided()
	case PartRecords:
		return p.Old == noRecords || p.New == noRecords
	}
	return p.Kind == PartMapCell
}

// oneSided tells whether only one of the versions has the part.
func (p Part) oneSided() bool { return p.Old == "" || p.New == "" }

// wordsAmong are the part's words in the company of all that changed: what a
// record weighs hangs on its age, and on the radius that a profile looks in.
func (p Part) wordsAmong(changed []Part) string {
	among := func(kind string) bool {
		return slices.ContainsFunc(changed, func(q Part) bool { return q.Kind == kind })
	}
	switch {
	case p.Kind != PartRecords || p.follows():
	case among(PartDate):
		return p.Words() + " at the new reference date"
	case among(PartProfile):
		return p.Words() + " (as another radius in the profile changes them)"
	}
	return p.Words()
}
