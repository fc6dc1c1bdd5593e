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
	always = append(always, "id", "measure", "source")
	for _, m := range measureSpecs {
		keys := append(append(append([]string{}, always...), m.needs...), m.may...)
		if m.kinds != nil {
			keys = append(keys, "layer")
		}
		then := []object{only(keys...)}
		if m.needs != nil {
			then = append(then, requires(m.needs...))
		}
		switch {
		case m.takes("to"):
			several := object{"required": []string{"to"}, "not": object{"anyOf": []object{requires("layer"), requires("classes")}}}
			then = append(then, object{"oneOf": []object{{"required": []string{"layer"}, "not": requires("to")}, several}})
		case m.kinds != nil:
			then = append(then, requires("layer"))
		}
		list = append(list, when("measure", m.name, then...))
	}
	return list
}

// oneRating asks for exactly one way to rate; a measure that is a rating already
// may do with none.
func oneRating() object {
	var rated []string
	for _, m := range measureSpecs {
		if m.rated {
			rated = append(rated, m.name)
		}
	}
	return object{
		"if":   object{"properties": object{"measure": object{"enum": rated}}, "required": []string{"measure"}},
		"then": object{"not": requires("table")},
		"else": object{"oneOf": []object{requires("curve"), requires("table"), requires("strength")}},
	}
}

func (c *criterion) conditions() []object {
	return append(measureConditions("weight", "curve", "table"), requires("measure"), oneRating())
}

func (m *multiplier) conditions() []object {
	return append(measureConditions("curve", "table"), requires("measure"), oneRating())
}

func (e *exclusion) conditions() []object {
	plain := object{
		"if":   object{"not": requires("measure")},
		"then": object{"allOf": []object{only("id", "layer", "source", "classes", "below", "above"), requires("layer")}},
	}
	limit := object{"anyOf": []object{requires("classes"), requires("below"), requires("above")}}
	return append(measureConditions("classes", "below", "above"), plain, limit)
}

func (a *attributeRating) conditions() []object {
	return []object{{"oneOf": []object{requires("curve"), requires("table")}}}
}

func (c *condition) conditions() []object {
	return []object{{"anyOf": []object{requires("from"), requires("to")}}}
}

func (t *tiles) conditions() []object {
	return []object{{"properties": object{"size": object{"enum": []int{256, 512}}}}}
}
