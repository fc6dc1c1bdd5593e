package project

import "cmp"

import "tussock/layers"

// target is one of several things to be near.
type target struct {
	at
	Layer   string    `yaml:"layer" need:"yes" doc:"a layer of classes or of features"`
	Classes []word    `yaml:"classes" few:"1" doc:"classes of the layer"`
	Where   condition `yaml:"where" doc:"only where a quantity lies between bounds"`
}

// condition is a quantity between bounds, both included.
type condition struct {
	at
	Layer string   `yaml:"layer" need:"yes" doc:"a layer of kind quantity"`
	From  *float64 `yaml:"from" doc:"the least number for which it holds"`
	To    *float64 `yaml:"to" doc:"the greatest number for which it holds"`
}

// barrier is the roads that cut a circle.
type barrier struct {
	at
	Layer string   `yaml:"layer" need:"yes" doc:"a layer of features with traffic"`
	From  *float64 `yaml:"from" need:"yes" is:"[0,]" doc:"vehicles per day from which a road cuts"`
}

func (t target) model() layers.Target {
	return layers.Target{Layer: t.Layer, Classes: texts(t.Classes), Where: layers.Condition{Layer: t.Where.Layer, From: t.Where.From, To: t.Where.To}}
}

func (b barrier) model() layers.Barrier {
	model := layers.Barrier{Layer: b.Layer}
	if b.From != nil {
		model.From = *b.From
	}
	return model
}

// checkTargets tests the things that a distance goes to.
func (r *reading) checkTargets(a at, t *term) {
	for _, key := range []string{"layer", "classes"} {
		if a.has(key) {
			a.doc.keyProblem(join(a.path, key), "make it one of the items of to", "`to` takes the place of `layer` and `classes`")
		}
	}
	for i := range t.To {
		target := &t.To[i]
		if target.doc == nil {
			continue
		}
		kind, known := r.kindOf(target.at, "layer", target.Layer, "`to`", layers.Classes, layers.Features)
		switch path := join(target.path, "classes"); {
		case !known:
		case kind == layers.Classes && !target.has("classes"):
			target.doc.need(target.path, "classes", docOfTerm("classes"), "a layer of classes needs `classes`")
		case kind == layers.Features && target.has("classes"):
			target.doc.keyProblem(path, "leave it out", "features have no classes")
		}
		if target.has("where") {
			r.checkCondition(&target.Where)
		}
	}
}

func (r *reading) checkCondition(c *condition) {
	if c.doc == nil {
		return
	}
	r.kindOf(c.at, "layer", c.Layer, "`where`", layers.Quantity)
	switch {
	case !c.has("from") && !c.has("to"):
		c.doc.need(c.path, "from", "as in where: {layer: "+cmp.Or(c.Layer, "heat_load")+", from: 0.6}", "a condition needs `from`, `to` or both")
	case c.From != nil && c.To != nil && *c.From > *c.To:
		c.doc.problem(join(c.path, "from"), "", "nothing lies from %g to %g", *c.From, *c.To)
	}
}

// checkBarrier tests the roads that cut a circle.
func (r *reading) checkBarrier(b *barrier) {
	if b.doc == nil {
		return
	}
	if _, known := r.kindOf(b.at, "layer", b.Layer, "`barrier`", layers.Features); known {
		r.checkTraffic(b.at, b.Layer)
	}
}

// checkTraffic asks a layer of roads for its traffic.
func (r *reading) checkTraffic(a at, layer string) {
	if l := r.file.Layers.find(layer); l.Traffic == "" && l.doc != nil && !l.has("traffic") {
		a.doc.problem(join(a.path, "layer"), "add `traffic: field` to the layer, the attribute with vehicles per day", "layer %q does not say how much traffic its roads have", layer)
	}
}
