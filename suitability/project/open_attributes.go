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
		for _, row := range a.Value.Table {
			if !slices.ContainsFunc(words, func(w string) bool { return strings.TrimSpace(w) == row.Name }) {
				t.Score.doc.warn(join(join(path, "table"), row.Name), closest(row.Name, words), "no feature of layer %q has %q as %s", t.Layer, short(row.Name), short(a.Name))
			}
		}
	}
}
