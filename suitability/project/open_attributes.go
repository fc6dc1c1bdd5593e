package project

import (
	"slices"
	"strings"

	"tussock/layers"
)

// checkAttributes finds attributes that a layer of features lacks, and warns of
// words that no feature has.
func (o *opening) checkAttributes(t *term) {
	l := o.layers[t.Layer]
	if l == nil || l.Kind != layers.Features || t.Score.doc == nil {
		return
	}
	var fields []string
	for name := range l.Fields {
		fields = append(fields, name)
	}
	slices.Sort(fields)
	for i := range t.Score.Attributes {
		a := &t.Score.Attributes[i]
		path := join(join(t.Score.path, "attributes"), a.Name)
		words, known := l.Fields[a.Name]
		if !known {
			t.Score.doc.keyProblem(path, closest(a.Name, fields), "the features of layer %q have no attribute %q", t.Layer, short(a.Name))
			continue
		}
		words = trimmed(words)
		for _, row := range a.Value.Table {
			if !slices.Contains(words, row.Name) {
				t.Score.doc.warn(join(join(path, "table"), row.Name), closest(row.Name, words), "no feature of layer %q has %q as %s", t.Layer, short(row.Name), short(a.Name))
			}
		}
	}
}

// trimmed are the words without the space around them and the empty one.
func trimmed(words []string) []string {
	var list []string
	for _, w := range words {
		if w = strings.TrimSpace(w); w != "" {
			list = append(list, w)
		}
	}
	return list
}
