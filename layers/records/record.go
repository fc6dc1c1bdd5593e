package records

import (
	"fmt"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// Record is one occurrence record: a species met, or looked for and not met.
type Record struct {
	ID      string   // occurrenceID; may be empty
	Species string   // scientificName, as the source has it
	Date    Interval // eventDate; unknown where the source gives none

	Given orb.Point  // the place as the source gives it, in CRS: longitude and latitude, or x and y
	CRS   layers.CRS // of Given
	Point orb.Point  // the place in the grid's CRS

	// UncertaintyM is the radius in metres of the smallest circle around the
	// place that holds the whole location (coordinateUncertaintyInMeters). Nil
	// is unknown; it is never 0, which Darwin Core forbids.
	UncertaintyM *float64
	// Precision is coordinatePrecision: the step of the coordinates in decimal
	// degrees; 0 is unknown.
	Precision float64
	// ResolutionM is half the step, along the meridian and in metres, that the
	// decimals of longitude and latitude resolve: 3 decimals 56 m, 4 decimals
	// 6 m. The place cannot be known any better. 0 where the coordinates are no
	// decimal degrees.
	ResolutionM float64

	Basis       string // basisOfRecord
	Status      Status // occurrenceStatus
	Count       *int   // individualCount; nil where unknown
	Recorder    string // recordedBy
	Generalised string // dataGeneralizations: how the place was blurred, if it was
	Withheld    string // informationWithheld

	Notes   []string          // what was assumed, in fixed sentences
	Raw     map[string]string // the row as it was, by column; empty cells are left out
	Columns []string          // all columns of the row's table, in their order; shared between records
	Source  Origin

	timed bool // the source gives a time of day, other than midnight
}

// Origin is where in a source a row stands.
type Origin struct {
	File    string
	Layer   string // of a vector source; empty elsewhere
	Line    int    // of a text file, from 1; 0 in a vector source
	Feature int64  // of a vector source
}

func (o Origin) String() string {
	switch {
	case o.Line > 0:
		return fmt.Sprintf("%s:%d", o.File, o.Line)
	case o.Layer != "":
		return fmt.Sprintf("%s, layer %s, feature %d", o.File, o.Layer, o.Feature)
	}
	return o.File
}

// Status tells whether the species was met.
type Status uint8

// The statuses.
const (
	Present Status = iota // what a record says unless it says otherwise
	Absent
)

func (s Status) String() string {
	if s == Absent {
		return "absent"
	}
	return "present"
}

// Set is what a source holds. Every row is in exactly one of its two lists,
// both in the order of the source.
type Set struct {
	Records []Record
	Rejects []Reject
	Notes   []string // what holds for the source as a whole: its encoding, its delimiter, what was left aside
}

// Rows is how many rows the source has.
func (s Set) Rows() int { return len(s.Records) + len(s.Rejects) }
