package project

import (
	"fmt"
	"slices"
)

// checkPicture tests the section by what the file alone tells.
func (r *reading) checkPicture() {
	p := &r.file.Picture
	if p.doc == nil {
		return
	}
	if l := r.drawn(p.at, "relief", p.Relief); l != nil && l.Kind != "quantity" {
		p.doc.problem(join(p.path, "relief"), "name a layer of elevations", "layer %q holds %s, which have no relief", p.Relief, l.Kind)
	}
	for i := range p.Context {
		r.checkContext(&p.Context[i])
	}
}

// drawn is the layer of that name; where there is none, that is reported.
func (r *reading) drawn(a at, key, name string) *layer {
	if a.doc == nil || name == "" {
		return nil
	}
	l := r.file.Layers.find(name)
	if l == nil {
		a.doc.problem(join(a.path, key), closest(name, r.file.Layers.names()), "there is no layer %q", short(name))
	}
	return l
}

func (r *reading) checkContext(c *contextMark) {
	l := r.drawn(c.at, "layer", c.Layer)
	if l == nil {
		return
	}
	problem := func(key, hint, format string, args ...any) {
		c.doc.keyProblem(join(c.path, key), hint, format, args...)
	}
	switch {
	case l.Kind == "quantity":
		c.doc.problem(join(c.path, "layer"), "name a layer of classes or of features", "layer %q holds numbers, which cannot be drawn over a map", c.Layer)
	case l.Kind == "classes" && !c.has("classes"):
		c.doc.need(c.path, "classes", "write classes: [class, class]", "`classes` is missing: which classes of layer %q are drawn?", c.Layer)
	case l.Kind == "classes" && c.As != asWater && c.As != "":
		c.doc.problem(join(c.path, "as"), "only water is drawn from classes", "layer %q holds classes, which have no lines", c.Layer)
	case l.Kind == "features" && c.has("classes"):
		problem("classes", "leave it out, or sort roads by an attribute with by and order", "layer %q holds features, which have no classes", c.Layer)
	case c.has("by") && c.As != asRoad && c.As != "":
		problem("by", "leave it out", "only roads are sorted")
	}
	if c.has("order") && !c.has("by") {
		problem("order", "name the attribute, as in by: class", "`order` needs `by`")
	}
	for i, word := range c.Order {
		if slices.Index(c.Order, word) < i {
			c.doc.problem(fmt.Sprintf("%s[%d]", join(c.path, "order"), i), "", "%q is named twice", word)
		}
	}
}

// checkPictureClasses finds classes and attributes that a drawn layer lacks.
func (o *opening) checkPictureClasses() {
	for _, c := range o.file.Picture.Context {
		o.checkNames(c.at, c.Layer, "classes", c.Classes, false, map[uint8]string{})
		l := o.layers[c.Layer]
		if l == nil || c.By == "" || c.doc == nil {
			continue
		}
		var fields []string
		for field := range l.Fields {
			fields = append(fields, field)
		}
		slices.Sort(fields)
		values, known := l.Fields[c.By]
		if !known {
			c.doc.problem(join(c.path, "by"), closest(c.By, fields), "layer %q has no attribute %q", c.Layer, short(c.By))
			continue
		}
		for i, word := range c.Order {
			if !slices.Contains(values, string(word)) {
				c.doc.problem(fmt.Sprintf("%s[%d]", join(c.path, "order"), i), closest(string(word), values), "no feature of layer %q has %s %q", c.Layer, c.By, short(string(word)))
			}
		}
	}
}
