package project

import (
	"slices"
	"strings"

	"tussock/layers"
)

// checkTerm tests a measure's name, its keys and its layer. The name is put in
// where none is written and there is a usual one.
func (r *reading) checkTerm(a at, t *term, usual string) {
	if a.doc == nil {
		return
	}
	if t.Measure == "" {
		if a.has("measure") || a.doc.meant[join(a.path, "measure")] {
			return // reported already
		}
		if usual == "" {
			a.doc.need(a.path, "measure", closest("", measureNames()), "`measure` is missing")
			return
		}
		t.Measure = usual
	}
	spec := measureNamed(t.Measure)
	if spec == nil {
		a.doc.unknownWord(join(a.path, "measure"), t.Measure, measureNames())
		return
	}
	if spec.kinds != nil && !a.has("to") {
		a.doc.need(a.path, "layer", docOfTerm("layer"), "`layer` is missing")
	}
	for _, key := range spec.needs {
		a.doc.need(a.path, key, docOfTerm(key), "measure `%s` needs `%s`", t.Measure, key)
	}
	for _, key := range append([]string{"layer"}, measureKeys...) {
		if a.has(key) && !spec.takes(key) && !(key == "classes" && t.byClass) {
			a.doc.keyProblem(join(a.path, key), hintOfKey(key), "measure `%s` has no `%s`", t.Measure, key)
		}
	}
	r.checkTermParts(a, t, spec)
}

// hintOfKey tells where a key that stands in the wrong place belongs.
func hintOfKey(key string) string {
	if key == "layer" {
		return "leave it out"
	}
	return "it belongs to " + strings.Join(measuresTaking(key), ", ")
}

// checkTermParts tests what hangs on some keys.
func (r *reading) checkTermParts(a at, t *term, spec *measureSpec) {
	switch {
	case a.has("to") && spec.takes("to"):
		r.checkTargets(a, t)
	case t.Layer != "" && spec.takes("layer"):
		r.checkTermLayer(a, t, spec)
	}
	if a.has("barrier") && spec.takes("barrier") {
		r.checkBarrier(&t.Barrier)
	}
	switch t.Measure {
	case "density":
		if a.has("field") != a.has("where") {
			a.doc.problem(a.path, "as in field: class, where: [motorway, trunk]", "`field` and `where` go together")
		}
	case "nearby best":
		t.checkScore(a)
	case "records":
		r.checkEffort(a, t)
	}
}

// checkEffort tests the effort that records are divided for.
func (r *reading) checkEffort(a at, t *term) {
	if a.has("effort") != a.has("typical_effort") {
		a.doc.problem(a.path, "as in effort: visits, typical_effort: 4", "`effort` and `typical_effort` go together")
	}
	if a.has("effort") {
		r.kindOf(a, "effort", t.Effort, "`effort`", layers.Quantity)
	}
}

// kindOf is the kind of a layer that a key names, if it is there and of a kind
// that can be used; what needs it is named in words.
func (r *reading) kindOf(a at, key, layer, what string, usable ...layers.Kind) (layers.Kind, bool) {
	if layer == "" {
		return 0, false
	}
	path := join(a.path, key)
	l := r.file.Layers.find(layer)
	if l == nil {
		a.doc.problem(path, closest(layer, r.file.Layers.names()), "there is no layer %q", layer)
		return 0, false
	}
	kind, err := layers.ParseKind(l.Kind)
	if err != nil {
		return 0, false // the layer's own problem
	}
	if !slices.Contains(usable, kind) {
		words := make([]string, len(usable))
		for i, k := range usable {
			words[i] = k.String()
		}
		a.doc.problem(path, "it can be taken of "+strings.Join(words, " or "), "%s cannot be taken of layer %q, which holds %s", what, layer, kind)
		return 0, false
	}
	return kind, true
}

func (r *reading) checkTermLayer(a at, t *term, spec *measureSpec) {
	kind, known := r.kindOf(a, "layer", t.Layer, "measure `"+t.Measure+"`", spec.kinds...)
	if !known {
		return
	}
	r.checkTermClasses(a, t, spec, kind)
	if t.Measure == "road pressure" {
		r.checkTraffic(a, t.Layer)
	}
}

// checkTermClasses: of classes some must be named, of features none.
func (r *reading) checkTermClasses(a at, t *term, spec *measureSpec, kind layers.Kind) {
	path := join(a.path, "classes")
	switch {
	case !spec.takes("classes"):
		return
	case kind == layers.Classes && !a.has("classes"):
		a.doc.need(a.path, "classes", docOfTerm("classes"), "measure `%s` of a layer of classes needs `classes`", t.Measure)
	case kind == layers.Features && a.has("classes"):
		a.doc.keyProblem(path, "leave it out", "features have no classes")
	case t.Measure == "distance" && t.Classes.weighted:
		a.doc.problem(path, "write a list: classes: ["+strings.Join(texts(t.Classes.names), ", ")+"]", "a distance has no weights")
	}
}

// layerless tells whether the measure goes by something else than `layer`.
func (t *term) layerless(a at) bool {
	spec := measureNamed(t.Measure)
	return spec != nil && (spec.kinds == nil || a.has("to"))
}

func docOfTerm(key string) string {
	f, _ := fieldsOf(valueOf(&term{})).named(key)
	return f.rule.doc
}
