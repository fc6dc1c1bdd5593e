package project

import (
	"fmt"
	"slices"
	"strings"
)

// link is one species that another's measure looks for near by.
type link struct {
	id   string
	doc  *document
	path string
}

// links are the species that a profile's measures look for, in its order.
func (p *profile) links() []link {
	var list []link
	for a, t := range p.terms {
		if t.Measure != "species" || a.doc == nil {
			continue
		}
		for i, id := range t.Species {
			if id != "" {
				list = append(list, link{id, a.doc, fmt.Sprintf("%s[%d]", join(a.path, "species"), i)})
			}
		}
	}
	return list
}

// terms are the measures of a profile with their places.
func (p *profile) terms(yield func(at, *term) bool) {
	for i := range p.Requisites {
		for k := range p.Requisites[i].Criteria {
			if c := &p.Requisites[i].Criteria[k]; !yield(c.at, &c.term) {
				return
			}
		}
	}
	for i := range p.Multipliers {
		if m := &p.Multipliers[i]; !yield(m.at, &m.term) {
			return
		}
	}
	for i := range p.Exclusions {
		if e := &p.Exclusions[i]; !yield(e.at, &e.term) {
			return
		}
	}
}

// checkOthers tests the species that measures look for: they are known, none is
// the species itself or named twice, and none leads back.
func (r *reading) checkOthers() {
	var ids []string
	for _, p := range r.profiles {
		ids = append(ids, p.ID)
	}
	for _, p := range r.profiles {
		seen := map[string]bool{}
		for _, l := range p.links() {
			list := l.path[:strings.LastIndex(l.path, "[")]
			switch {
			case l.id == p.ID:
				l.doc.problem(l.path, "name other species; the records of the species itself are measure `records`", "%q looks for itself", l.id)
			case !slices.Contains(ids, l.id):
				l.doc.problem(l.path, closest(l.id, ids), "there is no species %q", short(l.id))
			case seen[list+l.id]:
				l.doc.problem(l.path, "keep one", "%q is named twice", l.id)
			default:
				p.warnSensitive(l, r.speciesWithID(l.id))
			}
			seen[list+l.id] = true
		}
	}
	w := walk{reading: r, done: map[*profile]bool{}}
	for _, p := range r.profiles {
		w.enter(p)
	}
}

// warnSensitive notes where a map must be shown as a more sensitive species'.
func (p *profile) warnSensitive(l link, other *profile) {
	if own, its := sensitivityOf(p.Sensitivity), sensitivityOf(other.Sensitivity); its > own {
		l.doc.warn(l.path, fmt.Sprintf("write `sensitivity: %s` for %q as well, and it is plain to everybody", its, p.ID),
			"%q is more sensitive (%s) than %q (%s), whose map is shown below staff as that of the more sensitive one, or withheld with it", l.id, its, p.ID, own)
	}
}

// walk follows links from species to species and reports each circle where it
// closes.
type walk struct {
	*reading
	trail []*profile // the way here
	links []link     // from each species of the trail to the next
	done  map[*profile]bool
}

func (w *walk) enter(p *profile) {
	if w.done[p] {
		return
	}
	w.trail = append(w.trail, p)
	for _, l := range p.links() {
		other := w.speciesWithID(l.id)
		if other == nil || other == p {
			continue // reported already
		}
		w.links = append(w.links, l)
		if from := slices.Index(w.trail, other); from >= 0 {
			reportCircle(other.ID, w.links[from:])
		} else {
			w.enter(other)
		}
		w.links = w.links[:len(w.links)-1]
	}
	w.trail = w.trail[:len(w.trail)-1]
	w.done[p] = true
}

// reportCircle names every species of a circle and where it is looked for.
func reportCircle(start string, links []link) {
	way := start
	for _, l := range links {
		at := l.doc.placeOf(l.path)
		way += fmt.Sprintf(" → %s (%s)", l.id, Problem{File: l.doc.file, Line: at.line, Column: at.column}.place())
	}
	first := links[0]
	first.doc.problem(first.path, "one of them must do without the other", "species look for one another in a circle: %s", way)
}

// speciesWithID is the first species of that id, or nil.
func (r *reading) speciesWithID(id string) *profile {
	for _, p := range r.profiles {
		if p.ID == id {
			return p
		}
	}
	return nil
}
