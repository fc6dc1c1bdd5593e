package records

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// The terms of a visit beside those of every row: of a Darwin Core event, and of
// its Humboldt extension.
var (
	eventTerms = []string{"parentEventID", "eventTime", "locationID", "locality", "samplingProtocol"}
	// effortTerms are in the namespace http://rs.tdwg.org/eco/terms/.
	effortTerms = []string{
		"targetTaxonomicScope", "excludedTaxonomicScope", "isTaxonomicScopeFullyReported", "isAbsenceReported", "absentTaxa",
		"protocolNames", "samplingEffortValue", "samplingEffortUnit", "eventDurationValue", "eventDurationUnit", "samplingPerformedBy", "reportedWeather",
	}
)

// The notes that visits carry.
const (
	noteFlag     = "a word that should be true or false is neither, and says nothing"
	noteQuantity = "an effort or duration that is no positive number says nothing"
)

// eventColumns are the names of the columns that hold each term.
func eventColumns(names []string) map[string][]string {
	columns := map[string][]string{}
	for _, term := range slices.Concat(eventTerms, effortTerms) {
		for _, at := range matching(names, []string{term}) {
			columns[term] = append(columns[term], names[at])
		}
	}
	return columns
}

// visitBuilder makes visits of events that were read as records are.
type visitBuilder struct {
	columns      map[string][]string
	decimalComma bool
}

func (b *visitBuilder) visit(r Record, id string, finds *findBook) Visit {
	cell := func(term string) string {
		for _, name := range b.columns[term] {
			if text := strings.TrimSpace(r.Raw[name]); text != "" {
				return text
			}
		}
		return ""
	}
	v := Visit{
		ID: id, Parent: cell("parentEventID"), Site: cmp.Or(cell("locationID"), cell("locality")), Date: r.Date, Time: cell("eventTime"),
		Given: r.Given, CRS: r.CRS, Point: r.Point, UncertaintyM: r.UncertaintyM, Notes: r.Notes, Raw: r.Raw, Source: r.Source,
		Protocols: listed(cmp.Or(cell("protocolNames"), cell("samplingProtocol"))), By: listed(cell("samplingPerformedBy")), Weather: cell("reportedWeather"),
		Target: listed(cell("targetTaxonomicScope")), Excluded: listed(cell("excludedTaxonomicScope")), Absent: listed(cell("absentTaxa")),
		Finds: finds.finds[id], unplaced: finds.unplaced[id], unread: finds.unread[id], silent: finds.none,
	}
	v.Absent = append(v.Absent, finds.absent[id]...)
	v.FullyReported = v.flag(cell("isTaxonomicScopeFullyReported"))
	v.AbsenceReported = v.flag(cell("isAbsenceReported"))
	v.Effort = b.quantity(&v, cell("samplingEffortValue"), cell("samplingEffortUnit"))
	v.Duration = b.quantity(&v, cell("eventDurationValue"), cell("eventDurationUnit"))
	return v
}

// listed takes a list apart: Darwin Core recommends " | " between its items.
func listed(text string) []string {
	var items []string
	for _, item := range strings.FieldsFunc(text, func(c rune) bool { return c == '|' || c == ';' }) {
		if item = strings.TrimSpace(item); item != "" {
			items = append(items, item)
		}
	}
	return items
}

// flag reads a boolean; what is none says nothing, and is noted.
func (v *Visit) flag(text string) *bool {
	var is bool
	switch strings.ToLower(text) {
	case "true", "yes", "1":
		is = true
	case "false", "no", "0":
	case "":
		return nil
	default:
		v.note(noteFlag)
		return nil
	}
	return &is
}

func (v *Visit) note(words string) {
	if !slices.Contains(v.Notes, words) {
		v.Notes = append(v.Notes, words)
	}
}

func (b *visitBuilder) quantity(v *Visit, text, unit string) Quantity {
	if text == "" {
		return Quantity{}
	}
	n, bad := parseNumber(text, b.decimalComma)
	if bad != nil || !(n > 0) {
		v.note(noteQuantity)
		return Quantity{}
	}
	return Quantity{&n, unit}
}

// contradiction is why an event that was read says two things at once. Groups of
// species are not looked into.
func (v Visit) contradiction() *problem {
	found := v.found()
	for _, name := range v.Absent {
		if slices.Contains(found, taxon(name)) {
			return &problem{Contradictory, fmt.Sprintf("%s is both found and reported absent; mend one of the two", clip(name))}
		}
	}
	if len(v.Absent) > 0 && v.AbsenceReported != nil && !*v.AbsenceReported {
		return &problem{AbsenceDisputed, fmt.Sprintf("%s is listed as absent where isAbsenceReported is false; mend one of the two", clip(v.Absent[0]))}
	}
	return nil
}
