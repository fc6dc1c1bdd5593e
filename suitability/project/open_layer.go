package project

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"tussock/layers"
)

// openLayer opens one layer that has no problem yet.
func (o *opening) openLayer(name string, l *layer) {
	if l.doc == nil || l.doc.spoken(l.path) {
		return
	}
	spec := o.spec(name, l)
	opened, err := layers.OpenLayer(spec, o.grid)
	if err != nil {
		message, hint := split(err)
		// The line says which layer it is.
		message = strings.TrimPrefix(message, fmt.Sprintf("layer %q (%s): ", name, spec.Source))
		l.doc.problem(join(l.path, "source"), hint, "%s", message)
		return
	}
	o.order = append(o.order, opened)
	o.layers[name] = opened
	l.Unit = cmp.Or(l.Unit, opened.Unit) // measures show it
	if o.inputs[name], err = hashOfLayer(spec); err != nil {
		wrong(l.doc, join(l.path, "source"), err)
	}
	o.warnLayer(l, spec)
}

// spec is what package layers needs to know of a layer.
func (r *reading) spec(name string, l *layer) layers.LayerSpec {
	kind, _ := layers.ParseKind(l.Kind)
	spec := layers.LayerSpec{
		Name: name, Kind: kind, Source: r.source(l.Source), Unit: l.Unit,
		Band: l.band(), Nodata: l.Nodata, Classes: l.classes(),
		OGRLayer: l.Layer, Where: l.Where, ClassField: l.ClassField, TrafficField: l.Traffic,
		Burn: layers.Burn{Kind: layers.BurnCentre, Width: l.Width},
	}
	if l.Resample != "" {
		spec.Resample, _ = layers.ParseResample(l.Resample)
	}
	if l.Burn != "" {
		spec.Burn.Kind, _ = layers.ParseBurn(l.Burn)
	}
	return spec
}

func (l *layer) classes() []layers.Class {
	var list []layers.Class
	for _, c := range l.Classes {
		class := layers.Class{Name: string(c.Value.Name), Colour: c.Value.Colour.NRGBA}
		fmt.Sscan(c.Name, &class.Value)
		list = append(list, class)
	}
	return list
}

// hashOfLayer covers a layer's content and the settings that change how it is
// read. The path counts only where it is all that is known of the content.
func hashOfLayer(spec layers.LayerSpec) (string, error) {
	content, _, err := layers.HashSource(spec.Source)
	if err != nil {
		return "", err
	}
	nodata := ""
	if spec.Nodata != nil {
		nodata = fmt.Sprint(*spec.Nodata)
	}
	spec.Source, spec.Nodata = "", nil
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%+v\nnodata %s", content, spec, nodata))
	return hex.EncodeToString(sum[:]), nil
}
