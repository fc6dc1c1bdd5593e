package project

// What holds between the keys of one section.

func requires(keys ...string) object { return object{"required": keys} }

func only(keys ...string) object { return object{"propertyNames": object{"enum": keys}} }

// when tells what must hold where a key has a value.
func when(key, value string, then ...object) object {
	return object{
		"if":   object{"properties": object{key: object{"const": value}}, "required": []string{key}},
		"then": object{"allOf": then},
	}
}

func (g *grid) conditions() []object {
	return []object{{"oneOf": []object{
		{"required": []string{"like"}, "maxProperties": 1},
		requires("crs", "cell", "extent"),
		requires("crs", "cell", "boundary"),
	}}}
}

func (l *layer) conditions() []object {
	list := []object{{"if": requires("width"), "then": object{"properties": object{"burn": object{"const": "share"}}, "required": []string{"burn"}}}}
	for _, kind := range []string{"classes", "quantity", "features"} {
		then := []object{only(append([]string{"source", "kind", "licence"}, layerKeys[kind]...)...)}
		if words := resampleWords[kind]; words != nil {
			then = append(then, object{"properties": object{"resample": object{"enum": words}}})
		}
		list = append(list, when("kind", kind, then...))
	}
	return list
}

// measureConditions list, measure by measure, the keys that must and may be
// there besides those in always.
func measureConditions(always ...string) []object {
	list := []object{{"properties": object{"measure": object{"enum": measureNames()}}}}
	always = append(always, "id", "measure", "layer", "source")
	for _, m := range measureSpecs {
		keys := append(append(append([]string{}, always...), m.needs...), m.may...)
		then := []object{only(keys...)}
		if m.needs != nil {
			then = append(then, requires(m.needs...))
		}
		list = append(list, when("measure", m.name, then...))
	}
	return list
}

// oneRating asks for exactly one way to rate.
var oneRating = object{"oneOf": []object{requires("curve"), requires("table"), requires("strength")}}

func (c *criterion) conditions() []object {
	return append(measureConditions("weight", "curve", "table"), requires("measure"), oneRating)
}

func (m *multiplier) conditions() []object {
	return append(measureConditions("curve", "table"), requires("measure"), oneRating)
}

func (e *exclusion) conditions() []object {
	plain := object{
		"if":   object{"not": requires("measure")},
		"then": only("id", "layer", "source", "classes", "below", "above"),
	}
	limit := object{"anyOf": []object{requires("classes"), requires("below"), requires("above")}}
	return append(measureConditions("classes", "below", "above"), plain, limit)
}

func (t *tiles) conditions() []object {
	return []object{{"properties": object{"size": object{"enum": []int{256, 512}}}}}
}
