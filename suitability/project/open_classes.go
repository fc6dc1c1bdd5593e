package project

import (
	"fmt"
	"strconv"

	"tussock/layers"
)

// checkClassNames finds class names that a layer lacks, and classes that are
// named twice.
func (o *opening) checkClassNames(p *profile) {
	for i := range p.Requisites {
		for k := range p.Requisites[i].Criteria {
			c := &p.Requisites[i].Criteria[k]
			o.checkTermNames(c.at, &c.term)
			o.checkNames(c.at, c.Layer, "table", wordsOf(c.Table), true, map[uint8]string{})
		}
	}
	for i := range p.Multipliers {
		m := &p.Multipliers[i]
		o.checkTermNames(m.at, &m.term)
		o.checkNames(m.at, m.Layer, "table", wordsOf(m.Table), true, map[uint8]string{})
	}
	for i := range p.Exclusions {
		o.checkTermNames(p.Exclusions[i].at, &p.Exclusions[i].term)
	}
}

func (o *opening) checkTermNames(a at, t *term) {
	o.checkNames(a, t.Layer, "classes", t.Classes.names, t.Classes.weighted, map[uint8]string{})
	sides := map[uint8]string{} // a class may be on one side only
	o.checkNames(a, t.Layer, "a", t.A, false, sides)
	o.checkNames(a, t.Layer, "b", t.B, false, sides)
	for _, target := range t.To {
		o.checkNames(target.at, target.Layer, "classes", target.Classes, false, map[uint8]string{})
	}
	o.checkAttributes(t)
}

// checkNames looks up class names that are items of a list or keys of a
// mapping; seen are the classes that were named before.
func (o *opening) checkNames(a at, layer, key string, names []word, keys bool, seen map[uint8]string) {
	l := o.layers[layer]
	if l == nil || l.Kind != layers.Classes || a.doc == nil {
		return
	}
	for i, name := range names {
		path := fmt.Sprintf("%s[%d]", join(a.path, key), i)
		report := a.doc.problem
		if keys {
			path, report = join(join(a.path, key), string(name)), a.doc.keyProblem
		}
		code, ok := l.ClassIndex(string(name))
		before, twice := seen[code]
		switch {
		case name == "":
		case !ok:
			report(path, classHint(l, string(name)), "layer %q has no class %q", layer, short(string(name)))
		case twice && before == string(name):
			report(path, "", "%q is named twice", name)
		case twice:
			report(path, "", "%q is the same class of layer %q as %q", name, layer, before)
		default:
			seen[code] = string(name)
		}
	}
}

func classHint(l *layers.Layer, name string) string {
	if len(l.Classes) == 0 {
		return "the source names no classes; name them as classes: {1: open_water, 2: heath}"
	}
	var known, listed []string
	for _, c := range l.Classes {
		known = append(known, c.Name)
		listed = append(listed, strconv.Quote(c.Name)) // names may hold commas
	}
	if best := layers.Closest(name, known); best != "" {
		return closest(name, []string{best})
	}
	return closest("", listed)
}

func wordsOf(table ordered[float64]) []word {
	var words []word
	for _, row := range table {
		words = append(words, word(row.Name))
	}
	return words
}
