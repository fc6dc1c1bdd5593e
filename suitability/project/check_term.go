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

// checkRating tests that there is one rating, and of the right form: a table
// for classes, a curve for numbers, a strength for road pressure.
func (r *reading) checkRating(a at, t *term, rate *rating) {
	if a.doc == nil || measureNamed(t.Measure) == nil {
		return
	}
	forms := 0
	for _, key := range []string{"curve", "table", "strength"} {
		if a.has(key) {
			forms++
		}
	}
	l := r.file.Layers.find(t.Layer)
	wanted := "curve"
	switch {
	case t.Measure == "road pressure":
		wanted = "strength"
	case t.Measure == "value" && l != nil && l.Kind == "classes":
		wanted = "table"
	}
	switch {
	case forms == 0 && t.isRated():
	case forms == 0:
		a.doc.need(a.path, wanted, ratingHints[wanted], "`%s` is missing", wanted)
	case forms > 1:
		a.doc.problem(a.path, "keep one", "`curve`, `table` and `strength` exclude each other")
	case wanted == "table" && !a.has("table"):
		a.doc.keyProblem(join(a.path, "curve"), ratingHints["table"], "layer %q holds classes, which are rated by a table", t.Layer)
	case wanted != "table" && a.has("table") && (l != nil || t.layerless(a)):
		a.doc.keyProblem(join(a.path, "table"), ratingHints["curve"], "measure `%s` gives numbers here, which are rated by a curve", t.Measure)
	}
	t.followLimit(a, rate)
}

var ratingHints = map[string]string{
	"curve":    "write curve: [[measure, rating], [measure, rating]]",
	"table":    "write table: {class: rating, class: rating}",
	"strength": "the share of suitability that is lost beside a road of endless traffic, above 0 to 1",
}

// followLimit takes the last knot for the limit of a distance, beyond which a
// curve is level.
func (t *term) followLimit(a at, rate *rating) {
	if t.Measure != "distance" {
		return
	}
	last := 0.0
	for _, k := range rate.Curve {
		last = max(last, k[0])
	}
	if a.has("limit") {
		if t.Limit > 0 && last > t.Limit {
			a.doc.problem(join(a.path, "limit"), "leave the limit out, and the last knot is the limit", "the curve goes on to %g m, but distances are followed only to %g m", last, t.Limit)
		}
		return
	}
	t.Limit = last
	if t.Limit <= 0 && a.has("curve") && !a.doc.spoken(join(a.path, "curve")) {
		a.doc.problem(join(a.path, "curve"), "distances are metres, from 0 up", "the curve of a distance ends at %g m", t.Limit)
	}
}

// checkExclusion tests an exclusion: classes at the cell, or a measure beyond a
// limit.
func (r *reading) checkExclusion(e *exclusion) {
	if e.doc == nil {
		return
	}
	value := e.Measure == "value" || !e.has("measure")
	e.byClass = value && e.has("classes")
	r.checkTerm(e.at, &e.term, "value")
	limits := e.has("below") || e.has("above")
	l := r.file.Layers.find(e.Layer)
	classes := value && l != nil && l.Kind == "classes"
	switch {
	case classes && limits:
		e.doc.problem(e.path, "write classes: [class, class]", "classes have no order; `below` and `above` need numbers")
	case classes && !e.byClass:
		e.doc.need(e.path, "classes", "write classes: [class, class]", "`classes` is missing")
	case !classes && e.byClass && l != nil:
		e.doc.keyProblem(join(e.path, "classes"), "use below or above", "layer %q has no classes", e.Layer)
	case !e.byClass && !limits && (l != nil || e.layerless(e.at)):
		e.doc.need(e.path, "below", "excluded is where the measure is less than `below`, or more than `above`", "an exclusion by numbers needs `below` or `above`")
	}
	e.followLimits()
}

// followLimits sets how far a distance must be followed to know whether it is
// beyond a limit.
func (e *exclusion) followLimits() {
	if e.Measure != "distance" {
		return
	}
	if e.has("limit") {
		if e.Above != nil && e.Limit > 0 && *e.Above >= e.Limit {
			e.doc.problem(join(e.path, "limit"), "leave the limit out", "distances are followed only to %g m, so none is above %g m", e.Limit, *e.Above)
		}
		return
	}
	for _, limit := range []*float64{e.Below, e.Above} {
		if limit != nil {
			// Past its limit a distance is the limit, so it must lie above.
			e.Limit = max(e.Limit, *limit+1)
		}
	}
}
