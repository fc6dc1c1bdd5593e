package records

import (
	"github.com/paulmach/orb"

	"tussock/layers"
)

// Visit is one visit to a site: somebody went to look, for something, with some
// effort, and said what came of it. A casual record is no visit, since nobody
// knows what else was looked for.
//
// The terms are those of a Darwin Core event and of its Humboldt extension (TDWG
// Humboldt Extension Vocabulary, 2025-06-12, http://rs.tdwg.org/eco/terms/).
type Visit struct {
	ID     string   // eventID
	Parent string   // parentEventID; nothing is inherited from it
	Site   string   // locationID, else locality
	Date   Interval // eventDate; unknown where the source gives none
	Time   string   // eventTime, as it is written

	Given        orb.Point  // the place as the source gives it, in CRS
	CRS          layers.CRS // of Given
	Point        orb.Point  // the place in the grid's CRS
	UncertaintyM *float64   // as for a [Record]

	Protocols []string // protocolNames, else samplingProtocol
	Effort    Quantity // samplingEffortValue and -Unit
	Duration  Quantity // eventDurationValue and -Unit
	By        []string // samplingPerformedBy
	Weather   string   // reportedWeather

	Target   []string // targetTaxonomicScope: what was looked for
	Excluded []string // excludedTaxonomicScope: what of it was not
	// FullyReported is isTaxonomicScopeFullyReported: everything of the scope
	// that was met is listed. Nil where nothing is said.
	FullyReported *bool
	// AbsenceReported is isAbsenceReported: what of the scope was not met is told,
	// by the list of absent taxa or by its leaving out. Nil where nothing is said.
	AbsenceReported *bool
	Absent          []string // absentTaxa, and occurrences whose status is absent
	Finds           []Record // present

	Notes  []string          // what was assumed, in fixed sentences
	Raw    map[string]string // the event with its effort as they were, by column; empty cells are left out
	Source Origin

	// What was met, though the row that says so is no record, and whether there
	// is such a row that does not even say what.
	unplaced []string
	unread   bool
	// nobody knows what was met: the source has no table of occurrences
	silent bool
}

// Quantity is a number with its unit, in the source's words. The zero Quantity
// is unknown.
type Quantity struct {
	Value *float64
	Unit  string
}

// Visits are the events of a source. Every event is in exactly one of its first
// two lists, both in the order of the source.
type Visits struct {
	Visits  []Visit
	Rejects []Reject // events that are no visits
	Aside   []Reject // rows of occurrences that are no records; their visits know of them
	Notes   []string // what holds for the source as a whole
}

// The reasons why an event is no visit, beside those of records.
const (
	MissingEvent    Reason = "missing-event-id"
	DuplicateEvent  Reason = "duplicate-event-id"
	GroupEvent      Reason = "group-of-events"      // other events name it as their parent: they are the visits
	Contradictory   Reason = "found-and-absent"     // a taxon both found and reported absent
	AbsenceDisputed Reason = "absence-not-reported" // absent taxa are listed where none are said to be reported
)
