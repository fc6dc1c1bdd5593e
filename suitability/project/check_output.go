package project

import (
	"math"
	"slices"

	"tussock/suitability"
)

func (r *reading) checkOutput() {
	o := &r.file.Output
	if o.doc == nil {
		return
	}
	path := join(o.path, "classes")
	if err := suitability.Classes(o.Classes).Check(); err != nil && !o.doc.spoken(path) {
		wrong(o.doc, path, err)
	}
	if o.CountedClass != nil && !slices.Contains(o.breaks(), *o.CountedClass) && *o.CountedClass != 0 {
		o.doc.problem(join(o.path, "counted_class"), "species are counted from one of the class breaks up", "%g is no class break; the breaks are %v", *o.CountedClass, []float64(o.breaks()))
	}
	t := &o.Tiles
	if t.doc == nil {
		return
	}
	if t.Size != nil && *t.Size != 256 && *t.Size != 512 {
		t.doc.problem(join(t.path, "size"), "", "a tile has 256 or 512 pixels a side, not %d", *t.Size)
	}
	if t.MinZoom != nil && t.MaxZoom != nil && *t.MinZoom > *t.MaxZoom {
		t.doc.problem(join(t.path, "min_zoom"), "", "min_zoom %d is above max_zoom %d", *t.MinZoom, *t.MaxZoom)
	}
}

func (o *output) breaks() suitability.Classes {
	if o.Classes == nil {
		return suitability.DefaultClasses()
	}
	return o.Classes
}

// usualCounted is the break from which species are counted where nothing is
// said: common practice, no source.
const usualCounted = 0.6

// counted is the class that starts at the chosen break, from 0.
func (o *output) counted() int {
	from := usualCounted
	if o.CountedClass != nil {
		from = *o.CountedClass
	}
	class := 0
	for i, b := range o.breaks() {
		if b <= math.Nextafter(from, 1) {
			class = i + 1
		}
	}
	return class
}
