package project

import (
	"reflect"
)

// The schemas of types that YAML may write in more than one way.

func (w *word) schema(*schemaBuilder, rule) object {
	return object{"type": []string{"string", "integer", "boolean"}, "pattern": `\S`}
}

func (v *day) schema(*schemaBuilder, rule) object {
	return object{"type": "string", "pattern": `^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`}
}

func (c *colour) schema(*schemaBuilder, rule) object {
	return object{"type": "string", "pattern": hexColour.String()}
}

func (c *layerClass) schema(b *schemaBuilder, r rule) object {
	return object{"anyOf": []object{b.of(reflect.TypeFor[word](), rule{}), b.section(reflect.TypeFor[layerClass]())}}
}

func (e *profileEntry) schema(b *schemaBuilder, r rule) object {
	return object{
		"if":   object{"required": []string{"file"}},
		"then": b.section(reflect.TypeFor[elsewhere]()),
		"else": b.section(reflect.TypeFor[profile]()),
	}
}

func (c *combination) schema(b *schemaBuilder, r rule) object {
	return object{"anyOf": []object{{"enum": ruleWords}, b.section(reflect.TypeFor[numberedRule]())}}
}

func (n *numberedRule) conditions() []object {
	return []object{{"minProperties": 1, "maxProperties": 1}}
}

func (m *missing) schema(*schemaBuilder, rule) object {
	return object{"anyOf": []object{{"enum": missingWords}, {"type": "number", "minimum": 0, "maximum": 1}}}
}

func (s *classSet) schema(b *schemaBuilder, r rule) object {
	names := object{"type": "array", "items": b.of(reflect.TypeFor[word](), rule{}), "minItems": 1}
	weights := object{"type": "object", "minProperties": 1, "additionalProperties": object{"type": "number", "minimum": 0, "maximum": 1}}
	return object{"anyOf": []object{names, weights}}
}

func (k *knot) schema(*schemaBuilder, rule) object {
	return object{
		"type": "array", "minItems": 2, "maxItems": 2,
		"prefixItems": []object{{"type": "number"}, {"type": "number", "minimum": 0, "maximum": 1}},
	}
}

func (o *ordered[T]) schema(b *schemaBuilder, r rule) object {
	return object{"type": "object", "minProperties": 1, "additionalProperties": b.of(reflect.TypeFor[T](), rule{is: r.is, of: r.of})}
}

func (m *many[T]) schema(b *schemaBuilder, r rule) object {
	r.doc = ""
	one := b.of(reflect.TypeFor[T](), r)
	return object{"anyOf": []object{one, {"type": "array", "items": one}}}
}
