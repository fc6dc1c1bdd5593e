package project

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
