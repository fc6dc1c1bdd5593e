package records

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// parser turns a row into a record whose point is not yet in the grid's CRS.
type parser struct {
	*placer
	names []string
	// today ends on the reference date; zero checks nothing.
	today  time.Time
	square float64
}

// record reads a row. The first thing wrong with it is its reason.
func (p *parser) record(r row) (Record, *problem) {
	c, cells := p.columns, r.cells
	record := Record{ID: c.get(cells, termID), Species: c.get(cells, termName), Source: r.source}
	if record.Species == "" {
		return record, &problem{MissingName, "scientificName is empty"}
	}
	at, bad := p.find(r)
	if bad != nil {
		return record, bad
	}
	record.Given, record.CRS, record.ResolutionM, record.Notes = at.at, at.crs, at.resolution, at.notes
	if record.Date, bad = p.date(cells); bad != nil {
		return record, bad
	}
	record.timed = p.timed(cells)
	if record.Status, bad = p.status(cells); bad != nil {
		return record, bad
	}
	p.count(&record, cells)
	p.uncertainty(&record, cells, at.radius)
	record.Basis, record.Recorder = c.get(cells, termBasis), c.get(cells, termRecorder)
	record.Generalised, record.Withheld = c.get(cells, termGeneralised), c.get(cells, termWithheld)
	record.Raw, record.Columns = p.raw(cells), p.names
	return record, nil
}

func (p *parser) raw(cells []string) map[string]string {
	raw := make(map[string]string, len(cells))
	for i, cell := range cells {
		if cell != "" && i < len(p.names) {
			raw[p.names[i]] = cell
		}
	}
	return raw
}

// date is eventDate, or year, month and day where that is empty.
func (p *parser) date(cells []string) (Interval, *problem) {
	text := p.columns.get(cells, termDate)
	if text == "" {
		if text = p.columns.get(cells, termYear); text == "" {
			return Interval{}, nil
		}
		if month := p.columns.get(cells, termMonth); month != "" {
			text += "-" + twoDigits(month)
			if day := p.columns.get(cells, termDay); day != "" {
				text += "-" + twoDigits(day)
			}
		}
	}
	date, err := ParseDate(text)
	if err != nil {
		return date, &problem{BadDate, "eventDate: " + strings.TrimPrefix(err.Error(), "records: ")}
	}
	if !p.today.IsZero() && date.First.After(p.today) {
		return date, &problem{FutureDate, fmt.Sprintf("eventDate %s is after the reference date %s", clip(text), p.today.Format(time.DateOnly))}
	}
	return date, nil
}

// timed tells whether a row gives a time of day other than midnight, which many
// programs write where they know none.
func (p *parser) timed(cells []string) bool {
	_, clock := cutTime(p.columns.get(cells, termDate))
	return !midnight(clock) || !midnight(p.columns.get(cells, termTime))
}

func twoDigits(text string) string {
	if len(text) == 1 {
		return "0" + text
	}
	return text
}

func (p *parser) status(cells []string) (Status, *problem) {
	switch text := p.columns.get(cells, termStatus); strings.ToLower(text) {
	case "", "present":
		return Present, nil
	case "absent":
		return Absent, nil
	default:
		return Present, &problem{BadStatus, fmt.Sprintf("occurrenceStatus %s is neither present nor absent", clip(text))}
	}
}

func (p *parser) count(record *Record, cells []string) {
	text := p.columns.get(cells, termCount)
	if text == "" {
		return
	}
	n, err := strconv.Atoi(text)
	switch {
	case err != nil || n < 0:
		record.note(noteCount)
		return
	case n == 0 && record.Status == Present:
		record.note(noteNone)
	}
	record.Count = &n
}

// uncertainty is what the row says; failing that what its footprint, its
// precision or its square leaves open; failing all, unknown. Zero is no
// uncertainty but a blank (Darwin Core).
func (p *parser) uncertainty(record *Record, cells []string, radius float64) {
	stated, ok := p.positive(record, cells, termUncertainty, noteUncertainty)
	record.Precision, _ = p.positive(record, cells, termPrecision, notePrecision)
	switch {
	case ok:
		if stated < record.ResolutionM {
			record.note(noteTooSure)
		}
		record.UncertaintyM = &stated
	case radius > 0:
		record.UncertaintyM = &radius
	case record.Precision > 0 && record.CRS.IsGeographic():
		step := PrecisionUncertainty(record.Precision, record.Given[1])
		record.UncertaintyM = &step
		record.note(noteStep)
	case p.square > 0:
		half := SquareUncertainty(p.square)
		record.UncertaintyM = &half
		record.note(noteSquare)
	}
}

// positive is a cell's number, noting one that is none or not positive.
func (p *parser) positive(record *Record, cells []string, t term, note string) (float64, bool) {
	text := p.columns.get(cells, t)
	if text == "" {
		return 0, false
	}
	v, bad := parseNumber(text, p.decimalComma)
	if bad != nil || !(v > 0) || math.IsInf(v, 0) {
		record.note(note)
		return 0, false
	}
	return v, true
}

func (r *Record) note(words string) { r.Notes = append(r.Notes, words) }
