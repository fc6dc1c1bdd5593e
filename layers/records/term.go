package records

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"tussock/layers"
)

// term is something that a column can say.
type term uint8

const (
	termID term = iota
	termName
	termDate
	termTime
	termYear
	termMonth
	termDay
	termLongitude
	termLatitude
	termDatum
	termX
	termY
	termSRS
	termFootprint
	termFootprintSRS
	termUncertainty
	termPrecision
	termBasis
	termStatus
	termCount
	termRecorder
	termGeneralised
	termWithheld
	termsEnd
)

// termNames are each term's columns, the first found with a filled cell wins.
// The first name is Darwin Core's own (TDWG, Darwin Core Quick Reference
// Guide); x and y, as spatial tables have them, are not Darwin Core.
var termNames = [termsEnd][]string{
	termID:           {"occurrenceID", "gbifID"},
	termName:         {"scientificName", "species"},
	termDate:         {"eventDate", "date"},
	termTime:         {"eventTime"},
	termYear:         {"year"},
	termMonth:        {"month"},
	termDay:          {"day"},
	termLongitude:    {"decimalLongitude", "longitude", "lon", "long", "lng"},
	termLatitude:     {"decimalLatitude", "latitude", "lat"},
	termDatum:        {"geodeticDatum"},
	termX:            {"x", "easting"},
	termY:            {"y", "northing"},
	termSRS:          {"verbatimSRS"},
	termFootprint:    {"footprintWKT"},
	termFootprintSRS: {"footprintSRS"},
	termUncertainty:  {"coordinateUncertaintyInMeters", "coordinateUncertaintyInMetres"},
	termPrecision:    {"coordinatePrecision"},
	termBasis:        {"basisOfRecord"},
	termStatus:       {"occurrenceStatus"},
	termCount:        {"individualCount"},
	termRecorder:     {"recordedBy"},
	termGeneralised:  {"dataGeneralizations", "dataGeneralisations"},
	termWithheld:     {"informationWithheld"},
}

// plain is a name without its namespace, case, spaces and punctuation, so that
// dwc:scientificName, scientific_name and
// http://rs.tdwg.org/dwc/terms/scientificName are one.
func plain(name string) string {
	if strings.Contains(name, "://") {
		name = name[strings.LastIndexAny(name, "/#")+1:]
	}
	if prefix, rest, ok := strings.Cut(name, ":"); ok {
		switch strings.ToLower(prefix) {
		case "dwc", "dwciri", "dcterms", "dc", "eco":
			name = rest
		}
	}
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return unicode.ToLower(c)
		}
		return -1
	}, name)
}

// columns finds a row's terms.
type columns struct {
	index  [termsEnd][]int
	values [termsEnd]string // where no cell is filled
}

// newColumns matches the names of a table's columns with terms, by the
// project's word first.
func newColumns(names []string, s Source) (*columns, error) {
	c := &columns{}
	for _, name := range slices.Sorted(maps.Keys(s.Fields)) {
		t, err := findTerm(name, s.File)
		if err != nil {
			return nil, err
		}
		at, err := findColumn(s.Fields[name], names, s.File)
		if err != nil {
			return nil, err
		}
		c.index[t] = []int{at}
	}
	for t, known := range termNames {
		if c.index[t] == nil {
			c.index[t] = matching(names, known)
		}
	}
	for name, value := range s.Values {
		t, err := findTerm(name, s.File)
		if err != nil {
			return nil, err
		}
		c.values[t] = value
	}
	return c, nil
}

// matching are the columns with one of a term's names, in the names' order. A
// name may come more than once where an archive's tables are joined.
func matching(names, known []string) []int {
	var found []int
	for _, name := range known {
		for i, column := range names {
			base, _, _ := strings.Cut(column, joinMark)
			if plain(base) == plain(name) {
				found = append(found, i)
			}
		}
	}
	return found
}

func findTerm(name, file string) (term, error) {
	var all []string
	for t, known := range termNames {
		if slices.ContainsFunc(known, func(k string) bool { return plain(k) == plain(name) }) {
			return term(t), nil
		}
		all = append(all, known[0])
	}
	return 0, fmt.Errorf("records: %s: no term %q%s", file, name, didYouMean(name, all))
}

func findColumn(name string, names []string, file string) (int, error) {
	if at := slices.Index(names, name); at >= 0 {
		return at, nil
	}
	if at := slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, name) }); at >= 0 {
		return at, nil
	}
	return 0, fmt.Errorf("records: %s: no column %q%s", file, name, didYouMean(name, names))
}

func didYouMean(name string, known []string) string {
	if best := layers.Closest(name, known); best != "" {
		return fmt.Sprintf("\nhint: did you mean %s?", best)
	}
	return "\nhint: there are " + strings.Join(known, ", ")
}

// has tells whether a term can be filled at all.
func (c *columns) has(t term) bool { return len(c.index[t]) > 0 || c.values[t] != "" }

// get is a term's cell, without spaces around it.
func (c *columns) get(cells []string, t term) string {
	for _, at := range c.index[t] {
		if text := filled(cells, at); text != "" {
			return text
		}
	}
	return c.values[t]
}

// pair is two terms' cells from the same pair of columns, so that half a place
// is never made whole with half of another.
func (c *columns) pair(cells []string, a, b term) (string, string) {
	if len(c.index[a]) != len(c.index[b]) {
		return c.get(cells, a), c.get(cells, b)
	}
	for k := range c.index[a] {
		one, other := filled(cells, c.index[a][k]), filled(cells, c.index[b][k])
		if one != "" || other != "" {
			return one, other
		}
	}
	return c.values[a], c.values[b]
}

func filled(cells []string, at int) string {
	if at >= len(cells) {
		return ""
	}
	return strings.TrimSpace(cells[at])
}
