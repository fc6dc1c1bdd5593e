package records

import (
	"context"
	"fmt"
	"iter"
	"slices"
	"strings"

	"tussock/layers"
)

// findBook is what was met at the events, by their ids.
type findBook struct {
	finds    map[string][]Record
	absent   map[string][]string // occurrences whose status is absent
	unplaced map[string][]string // met, though the row is no record
	unread   map[string]bool     // a row that does not say what was met, or whether
	none     bool                // the archive has no occurrences
	aside    []Reject
	notes    []string
}

// finds reads the extension of occurrences.
func (a *archive) finds(ctx context.Context, tables []metaTable, s Source, to layers.CRS) (*findBook, error) {
	b := &findBook{finds: map[string][]Record{}, absent: map[string][]string{}, unplaced: map[string][]string{}, unread: map[string]bool{}}
	at := slices.IndexFunc(tables, isOccurrence)
	if at < 0 {
		b.none, b.notes = true, []string{"the archive has no occurrences: only what is listed as absent is a blank"}
		return b, nil
	}
	t, err := a.joined(tables, at)
	if err != nil {
		return nil, err
	}
	ids := map[Origin]string{}
	t.rows = watched(t.rows, tables[at].key, ids)
	set, err := readTable(ctx, t, s, to)
	if err != nil {
		return nil, err
	}
	b.notes, b.aside = set.Notes, set.Rejects
	for _, r := range set.Records {
		if id := ids[r.Source]; r.Status == Absent {
			b.absent[id] = append(b.absent[id], r.Species)
		} else {
			b.finds[id] = append(b.finds[id], r)
		}
	}
	b.setAside(t.names, ids)
	return b, nil
}

// watched notes the event of every row that names one.
func watched(rows iter.Seq2[row, error], key int, ids map[Origin]string) iter.Seq2[row, error] {
	return func(yield func(row, error) bool) {
		for r, err := range rows {
			if id := filled(r.cells, key); err == nil && id != "" {
				ids[r.source] = id
			}
			if !yield(r, err) {
				return
			}
		}
	}
}

// setAside keeps in mind what was met by rows that are no records: a species that
// was seen at a place nobody can find was still seen on the visit.
func (b *findBook) setAside(names []string, ids map[Origin]string) {
	name, status := matching(names, termNames[termName]), matching(names, termNames[termStatus])
	first := func(cells []string, at []int) string {
		for _, k := range at {
			if text := filled(cells, k); text != "" {
				return text
			}
		}
		return ""
	}
	nobody := 0
	for _, r := range b.aside {
		id, known := ids[r.Source]
		species := first(r.Row, name)
		switch {
		case r.Reason == EmptyRow || r.Reason == NoCoreRow:
		case !known:
			nobody++
		case species == "" || r.Reason == BadStatus:
			b.unread[id] = true
		case strings.EqualFold(first(r.Row, status), "absent"):
			b.absent[id] = append(b.absent[id], species)
		default:
			b.unplaced[id] = append(b.unplaced[id], species)
		}
	}
	if nobody > 0 {
		b.notes = append(b.notes, fmt.Sprintf("%d rows of occurrences cannot be read and name no event: a visit may look blank for want of them", nobody))
	}
}

// beside is how many finds belong to none of the visits.
func (b *findBook) beside(visits []Visit) int {
	n := 0
	for _, finds := range b.finds {
		n += len(finds)
	}
	for _, v := range visits {
		n -= len(v.Finds)
	}
	return n
}
