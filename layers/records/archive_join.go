package records

import (
	"fmt"
	"iter"
)

// joinMark sets apart a core's column from the extension's of the same name.
const joinMark = " [core]"

// joined reads an extension of occurrences, each row with its core row behind
// it. The core is kept in memory by its id; survey effort, the Humboldt
// extension of an event (TDWG 2025), is part of its core row.
func (a *archive) joined(tables []metaTable, at int) (*table, error) {
	core, err := a.index(&tables[0])
	if err != nil {
		return nil, err
	}
	t := &table{notes: core.notes}
	for i := range tables[1:] {
		other := &tables[i+1]
		switch {
		case i+1 == at:
		case isEffort(other.rowType):
			effort, err := a.index(other)
			if err != nil {
				return nil, err
			}
			core.extend(effort)
			t.notes = append(t.notes, effort.notes...)
		default:
			t.notes = append(t.notes, "extension left aside: "+shortTerm(other.rowType))
		}
	}
	width, err := a.width(&tables[at])
	if err != nil {
		return nil, err
	}
	own := tables[at].names(width)
	t.names = uniqueNames(append(own[:len(own):len(own)], markTaken(own, core.names)...))
	t.rows = core.behind(a.rows(&tables[at], width), len(own), tables[at].key)
	return t, nil
}

// markTaken marks the core's names that the extension has already.
func markTaken(own, core []string) []string {
	taken := map[string]bool{}
	for _, name := range own {
		taken[name] = true
	}
	marked := make([]string, len(core))
	for i, name := range core {
		if marked[i] = name; taken[name] {
			marked[i] = name + joinMark
		}
	}
	return marked
}

// keyed is a table by its key.
type keyed struct {
	names []string
	rows  map[string][]string
	notes []string
}

// index keeps a table's rows by their key. Of two with one key the first counts.
func (a *archive) index(t *metaTable) (*keyed, error) {
	width, err := a.width(t)
	if err != nil {
		return nil, err
	}
	k := &keyed{names: t.names(width), rows: map[string][]string{}}
	var unread, twice int
	var firstUnread, firstTwice string
	for r, err := range a.rows(t, width) {
		switch {
		case err != nil:
			return nil, err
		case r.reason != "":
			if unread++; unread == 1 {
				firstUnread = fmt.Sprintf("%s: %s", r.source, r.words)
			}
		case k.rows[r.cells[t.key]] != nil:
			if twice++; twice == 1 {
				firstTwice = fmt.Sprintf("%s: %s", r.source, clip(r.cells[t.key]))
			}
		default:
			k.rows[r.cells[t.key]] = r.cells
		}
	}
	if unread > 0 {
		k.notes = append(k.notes, fmt.Sprintf("%d rows of %s cannot be read, first %s", unread, shortTerm(t.rowType), firstUnread))
	}
	if twice > 0 {
		k.notes = append(k.notes, fmt.Sprintf("%d rows of %s repeat an id and are left aside, first %s", twice, shortTerm(t.rowType), firstTwice))
	}
	return k, nil
}

// extend puts another table's rows behind those with the same key.
func (k *keyed) extend(other *keyed) {
	k.names = append(k.names, markTaken(k.names, other.names)...)
	blank := make([]string, len(other.names))
	for key, cells := range k.rows {
		more := other.rows[key]
		if more == nil {
			more = blank
		}
		k.rows[key] = append(cells[:len(cells):len(cells)], more...)
	}
}

// behind puts each row's core row behind it.
func (k *keyed) behind(rows iter.Seq2[row, error], width, key int) iter.Seq2[row, error] {
	return func(yield func(row, error) bool) {
		for r, err := range rows {
			if err == nil && r.reason == "" {
				core := k.rows[r.cells[key]]
				if core == nil {
					r.reason, r.words = NoCoreRow, fmt.Sprintf("coreid %s has no row in the archive's core", clip(r.cells[key]))
				} else {
					r.cells = append(r.cells[:width:width], core...)
				}
			}
			if !yield(r, err) {
				return
			}
		}
	}
}
