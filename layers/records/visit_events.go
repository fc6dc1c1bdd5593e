package records

import (
	"fmt"
	"iter"
	"slices"
)

// eventTable is an archive's events, each with its effort behind it.
type eventTable struct {
	table
	ids   map[Origin]string // of the rows that went by
	order map[Origin]int
}

// events joins the core with the Humboldt extension. An event without an id, a
// second one with the same, and one that only groups others get a reason.
func (a *archive) events(tables []metaTable) (*eventTable, error) {
	core := &tables[0]
	width, err := a.width(core)
	if err != nil {
		return nil, err
	}
	t := &eventTable{ids: map[Origin]string{}, order: map[Origin]int{}}
	t.names = core.names(width)
	own := len(t.names)
	parents, err := a.parents(core, width)
	if err != nil {
		return nil, err
	}
	var efforts []*keyed
	for i := range tables[1:] {
		if other := &tables[i+1]; isEffort(other.rowType) {
			effort, err := a.index(other)
			if err != nil {
				return nil, err
			}
			t.names = append(t.names, markTaken(t.names, effort.names)...)
			t.notes = append(t.notes, effort.notes...)
			efforts = append(efforts, effort)
		}
	}
	if efforts == nil {
		t.notes = append(t.notes, "the archive has no Humboldt extension: what was looked for is told by its events or not at all")
	}
	t.rows = t.joined(a.rows(core, width), own, core.key, efforts, parents)
	return t, nil
}

// parents are the ids that events name as their parent's.
func (a *archive) parents(core *metaTable, width int) (map[string]bool, error) {
	parents, at := map[string]bool{}, matching(core.names(width), []string{"parentEventID"})
	if len(at) == 0 {
		return parents, nil
	}
	for r, err := range a.rows(core, width) {
		if err != nil {
			return nil, err
		}
		if r.reason == "" {
			parents[filled(r.cells, at[0])] = true
		}
	}
	return parents, nil
}

// joined puts each event's effort behind it and tells what is no visit.
func (t *eventTable) joined(rows iter.Seq2[row, error], own, key int, efforts []*keyed, parents map[string]bool) iter.Seq2[row, error] {
	return func(yield func(row, error) bool) {
		first := map[string]Origin{}
		for r, err := range rows {
			if err == nil {
				t.order[r.source] = len(t.order)
			}
			if err == nil && r.reason == "" {
				id := filled(r.cells, key)
				t.ids[r.source] = id
				if r.reason, r.words = eventReason(id, first, parents); first[id] == (Origin{}) {
					first[id] = r.source
				}
				r.cells = r.cells[:own:own]
				for _, effort := range efforts {
					more := effort.rows[r.cells[key]]
					if more == nil {
						more = make([]string, len(effort.names))
					}
					r.cells = append(r.cells, more...)
				}
			}
			if !yield(r, err) {
				return
			}
		}
	}
}

func eventReason(id string, first map[string]Origin, parents map[string]bool) (Reason, string) {
	switch at, twice := first[id]; {
	case id == "":
		return MissingEvent, "eventID is empty, so that nothing can be joined to the event"
	case twice:
		return DuplicateEvent, fmt.Sprintf("eventID %s stands at %s already", clip(id), at)
	case parents[id]:
		return GroupEvent, fmt.Sprintf("other events name %s as their parent; they are the visits", clip(id))
	}
	return "", ""
}

// built makes visits of what was read.
func (t *eventTable) built(set Set, finds *findBook, decimalComma bool) Visits {
	out := Visits{Rejects: set.Rejects, Aside: finds.aside, Notes: append(set.Notes, finds.notes...)}
	b := &visitBuilder{columns: eventColumns(t.names), decimalComma: decimalComma}
	for _, r := range set.Records {
		v := b.visit(r, t.ids[r.Source], finds)
		if bad := v.contradiction(); bad != nil {
			out.Rejects = append(out.Rejects, Reject{Source: r.Source, Reason: bad.reason, Words: bad.words, Columns: t.names, Row: cellsOf(r.Raw, t.names)})
			continue
		}
		out.Visits = append(out.Visits, v)
	}
	slices.SortStableFunc(out.Rejects, func(a, b Reject) int { return t.order[a.Source] - t.order[b.Source] })
	if lost := finds.beside(out.Visits); lost > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%d finds belong to events that are no visits", lost))
	}
	return out
}
