package records

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"tussock/layers"
)

// cleanedColumns are Darwin Core's own terms (TDWG, Darwin Core Quick Reference
// Guide) and, behind them, what the tests say. A grid without longitude and
// latitude has x and y in their place.
var (
	cleanedPlace      = []string{"decimalLongitude", "decimalLatitude", "geodeticDatum"}
	cleanedPlaceLocal = []string{"x", "y", "verbatimSRS"}
	cleanedBefore     = []string{"occurrenceID", "scientificName", "eventDate"}
	cleanedAfter      = []string{"coordinateUncertaintyInMeters", "basisOfRecord", "occurrenceStatus", "individualCount",
		"recordedBy", "dataGeneralizations", "informationWithheld", "use", "tests", "reasons"}
)

const (
	withheldRecorder   = "Name of the observer withheld."
	withheldIdentifier = "Identifier withheld."
	listSeparator      = " | " // as Darwin Core recommends for lists
)

// Sheet writes cleaned records for one audience.
type Sheet struct {
	Audience    layers.Audience
	Generaliser *Generaliser
	// Sensitivity is a species' category by its name in [Cleaned], and whether it
	// is known.
	Sensitivity func(name string) (layers.Sensitivity, bool)
}

// Write writes records as Darwin Core CSV (UTF-8, RFC 4180) with three columns
// more: use, the tests that flagged the record, and their reasons. It returns how
// many records were left out.
//
// Staff get every record exactly. Everybody else gets no names of observers and
// no reasons, since words can tell a place; sensitive species' places are
// generalised and their tests left out too; extreme ones, and species whose
// sensitivity is not known, are left out altogether. Records of sensitive species
// have no identifier and stand behind all others, in an order of their own: a
// number that follows another's, or a row beside it, tells which exact places
// were visited on the same walk.
func (s Sheet) Write(w io.Writer, all []Cleaned) (withheld int, err error) {
	if err := s.Audience.Check(); err != nil {
		return 0, err
	}
	out := csv.NewWriter(w)
	place := cleanedPlace
	if s.Generaliser.grid.IsLocal() {
		place = cleanedPlaceLocal
	}
	if err := out.Write(slices.Concat(cleanedBefore, place, cleanedAfter)); err != nil {
		return 0, fmt.Errorf("records: %w", err)
	}
	var blurred [][]string
	for _, r := range all {
		line, shown, err := s.line(r)
		switch {
		case err != nil:
			return withheld, err
		case !shown:
			withheld++
		case s.blurs(r.Name):
			blurred = append(blurred, line)
		default:
			out.Write(line) // whose error stays until the end
		}
	}
	slices.SortFunc(blurred, slices.Compare[[]string])
	if err := out.WriteAll(blurred); err != nil {
		return withheld, fmt.Errorf("records: %w", err)
	}
	return withheld, nil
}

// blurs tells whether records of a species are made less precise.
func (s Sheet) blurs(name string) bool {
	sensitivity, _ := s.Sensitivity(name)
	return s.Audience != layers.Staff && sensitivity != layers.NotSensitive
}

// line is one record as the audience may see it, if it may.
func (s Sheet) line(r Cleaned) (line []string, shown bool, err error) {
	sensitivity, known := s.Sensitivity(r.Name)
	if !known && s.Audience != layers.Staff {
		return nil, false, nil
	}
	seen, shown, err := s.Generaliser.Generalise(r.Record, sensitivity, s.Audience)
	if err != nil || !shown {
		return nil, false, err
	}
	place, err := s.Generaliser.placeCells(seen)
	if err != nil {
		return nil, false, fmt.Errorf("records: %s: %w", r.Source, err)
	}
	if s.Audience != layers.Staff && seen.Recorder != "" {
		seen.Recorder, seen.Withheld = "", strings.TrimSpace(seen.Withheld+" "+withheldRecorder)
	}
	if s.blurs(r.Name) && seen.ID != "" {
		seen.ID, seen.Withheld = "", strings.TrimSpace(seen.Withheld+" "+withheldIdentifier)
	}
	line = append([]string{guarded(seen.ID), guarded(seen.Species), seen.Date.String()}, place...)
	line = append(line, uncertaintyCell(seen.UncertaintyM), guarded(seen.Basis), seen.Status.String(), countCell(seen.Count),
		guarded(seen.Recorder), guarded(seen.Generalised), guarded(seen.Withheld), r.Use.String())
	tests, reasons := r.said()
	if s.Audience != layers.Staff {
		reasons = ""
	}
	if s.blurs(r.Name) {
		tests = ""
	}
	return append(line, tests, guarded(reasons)), true, nil
}

// placeCells are a record's place: longitude and latitude in WGS84 to 7 decimals
// (a centimetre), or x and y on a grid without them.
func (g *Generaliser) placeCells(r Record) ([]string, error) {
	if g.grid.IsLocal() {
		return []string{decimal(r.Point[0], 3), decimal(r.Point[1], 3), guarded(g.grid.Name())}, nil
	}
	at, err := g.lonLat(r)
	if err != nil {
		return nil, err
	}
	return []string{decimal(at[0], 7), decimal(at[1], 7), layers.WGS84().Code()}, nil
}

// said are the tests that flagged a record, and the words of all that have some.
func (r *Cleaned) said() (tests, reasons string) {
	var names, words []string
	for _, o := range r.Tests {
		if o.Flagged {
			names = append(names, string(o.Test))
		}
		if o.Words != "" {
			words = append(words, fmt.Sprintf("%s: %s", o.Test, o.Words))
		}
	}
	return strings.Join(names, listSeparator), strings.Join(words, listSeparator)
}

// decimal is a number without needless zeros at its end.
func decimal(v float64, digits int) string {
	text := strconv.FormatFloat(v, 'f', digits, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

func uncertaintyCell(m *float64) string {
	if m == nil {
		return ""
	}
	return decimal(*m, 1)
}

func countCell(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}
