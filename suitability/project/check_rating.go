package project

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
