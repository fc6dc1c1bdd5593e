package suitability

import "fmt"

// Standing is what a map may say about a cell before suitability is looked at:
// where it lies in the documented range, or why it has no suitability. Its
// number is the byte in the standing raster; 0 is no standing at all.
type Standing uint8

// The standings. Outside, excluded and not assessed are three different things.
const (
	Documented         Standing = iota + 1 // extant or reintroduced
	Uncertain                              // perhaps extant
	Historic                               // once here
	Introduced                             // established outside the native range
	Vagrant                                // seen, not resident
	Edge                                   // outside, but within the profile's edge distance
	Outside                                // outside the documented range
	Excluded                               // in range, but an exclusion holds
	NotAssessed                            // in range, but an input is unknown
	RangeNotDocumented                     // nobody has drawn the species' range
)

var standingKeys = [...]string{"", "documented", "uncertain", "historic", "introduced", "vagrant",
	"edge", "outside", "excluded", "not assessed", "range not documented"}

var standingWords = [...]string{"", "documented here", "range uncertain here", "once here, not lately",
	"established outside native range", "not resident", "edge of documented range",
	"outside documented range", "excluded", "not assessed", "range not documented"}

// Standings are all of them, in the order of their bytes.
func Standings() []Standing {
	list := make([]Standing, 0, RangeNotDocumented)
	for s := Documented; s <= RangeNotDocumented; s++ {
		list = append(list, s)
	}
	return list
}

func (s Standing) String() string {
	if int(s) < len(standingKeys) {
		return standingKeys[s]
	}
	return ""
}

// Words are how the standing is put to people.
func (s Standing) Words() string {
	if int(s) < len(standingWords) {
		return standingWords[s]
	}
	return ""
}

// StandingAt is the standing that a cell is published with, given its standing
// in the range. Outside the range, at its edge, and where the species is a
// vagrant, the range answers first: the sea beyond a range is outside, not
// excluded. Everywhere else an exclusion answers before a gap in the data, and
// both before the range.
func StandingAt(inRange Standing, assessed, excluded bool) Standing {
	switch {
	case inRange == Outside || inRange == Edge || inRange == Vagrant:
		return inRange
	case excluded:
		return Excluded
	case !assessed:
		return NotAssessed
	}
	return inRange
}

// RangeStatus is what a range polygon says of the species within it.
type RangeStatus uint8

// The statuses of range polygons.
const (
	StatusDocumented RangeStatus = iota + 1
	StatusUncertain
	StatusHistoric
	StatusIntroduced
	StatusVagrant
)

// Standing is the standing of cells within a polygon of that status.
func (s RangeStatus) Standing() Standing {
	if s >= StatusDocumented && s <= StatusVagrant {
		return Documented + Standing(s-StatusDocumented)
	}
	return 0
}

func (s RangeStatus) String() string { return s.Standing().String() }

// statusWords follow the presence and origin terms of IUCN Red List Technical
// Working Group, Mapping Standards and Data Quality for IUCN Red List Spatial
// Data, and their plain equivalents.
var statusWords = map[string]RangeStatus{
	"extant": StatusDocumented, "reintroduced": StatusDocumented, "documented": StatusDocumented,
	"native": StatusDocumented, "resident": StatusDocumented,
	"probably extant": StatusUncertain, "possibly extant": StatusUncertain,
	"presence uncertain": StatusUncertain, "origin uncertain": StatusUncertain, "uncertain": StatusUncertain,
	"historic": StatusHistoric, "historical": StatusHistoric, "possibly extinct": StatusHistoric,
	"extinct": StatusHistoric, "extirpated": StatusHistoric,
	"introduced": StatusIntroduced, "assisted colonisation": StatusIntroduced, "assisted colonization": StatusIntroduced,
	"vagrant": StatusVagrant,
}

// ParseRangeStatus reads a status as range maps word it, in any case and with
// spaces, hyphens or underscores.
func ParseRangeStatus(text string) (RangeStatus, error) {
	if s, ok := statusWords[plainWords(text)]; ok {
		return s, nil
	}
	return 0, fmt.Errorf("suitability: %q is no range status; use extant, reintroduced, probably extant, possibly extant, uncertain, possibly extinct, extinct, historic, introduced or vagrant", text)
}
