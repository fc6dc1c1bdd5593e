package project

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
)

// Schema is a JSON Schema (draft 2020-12) of the project file, made from the
// types and tags that read it. It holds what can be said of one value, or of
// one section, at a time; sums of weights, names that refer to one another and
// files are for [Load] and [Open]. A profile in a file of its own is
// $defs/profile.
func Schema() ([]byte, error) {
	b := schemaBuilder{defs: map[string]any{}}
	root := b.of(reflect.TypeFor[file](), rule{})
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(map[string]any{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"title":   "Tussock project file",
		"$ref":    root["$ref"],
		"$defs":   b.defs,
	})
	return out.Bytes(), err
}

// object is a part of a schema.
type object = map[string]any

// schemaBuilder gathers the sections that were met on the way.
type schemaBuilder struct{ defs map[string]any }

// hasSchema is implemented by types that YAML may write in more than one way.
type hasSchema interface {
	schema(b *schemaBuilder, r rule) object
}

// of is the schema of a type under a field's rule.
func (b *schemaBuilder) of(t reflect.Type, r rule) object {
	if own, ok := reflect.New(t).Interface().(hasSchema); ok {
		return described(own.schema(b, r), r)
	}
	switch t.Kind() {
	case reflect.Pointer:
		return b.of(t.Elem(), r)
	case reflect.Struct:
		return described(b.section(t), r)
	case reflect.Slice, reflect.Array:
		return described(b.list(t, r), r)
	case reflect.Map:
		return described(object{"type": "object", "additionalProperties": b.of(t.Elem(), rule{})}, r)
	case reflect.String:
		return described(textSchema(r), r)
	case reflect.Bool:
		return described(object{"type": "boolean"}, r)
	case reflect.Int:
		return described(bounded(object{"type": "integer"}, r.is), r)
	case reflect.Float64:
		return described(bounded(object{"type": "number"}, r.is), r)
	}
	panic("project: no schema for " + t.String())
}

func described(o object, r rule) object {
	if r.doc != "" {
		o["description"] = r.doc
	}
	return o
}

func textSchema(r rule) object {
	if r.of != nil {
		return object{"enum": r.of}
	}
	return object{"type": "string", "pattern": `\S`}
}

func (b *schemaBuilder) list(t reflect.Type, r rule) object {
	o := object{"type": "array", "items": b.of(t.Elem(), rule{is: r.is, of: r.of})}
	if r.few > 0 {
		o["minItems"] = r.few
	}
	if t.Kind() == reflect.Array {
		o["minItems"], o["maxItems"] = t.Len(), t.Len()
	}
	return o
}

func bounded(o object, in interval) object {
	for _, side := range []struct {
		bound           float64
		open            bool
		closedKey, oKey string
	}{{in.low, in.lowOpen, "minimum", "exclusiveMinimum"}, {in.high, in.highOpen, "maximum", "exclusiveMaximum"}} {
		switch {
		case math.IsInf(side.bound, 0) || in == interval{}:
		case side.open:
			o[side.oKey] = side.bound
		default:
			o[side.closedKey] = side.bound
		}
	}
	return o
}

// section is a reference to a section's own schema, which is made once.
func (b *schemaBuilder) section(t reflect.Type) object {
	name := t.Name()
	ref := object{"$ref": "#/$defs/" + name}
	if b.defs[name] != nil {
		return ref
	}
	b.defs[name] = object{} // sections may hold one another
	properties, needed := object{}, []string{}
	value := reflect.New(t)
	for _, f := range fieldsOf(value.Elem()) {
		properties[f.rule.key] = b.of(f.value.Type(), f.rule)
		if f.rule.need {
			needed = append(needed, f.rule.key)
		}
	}
	o := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(needed) > 0 {
		o["required"] = needed
	}
	if more, ok := value.Interface().(interface{ conditions() []object }); ok {
		o["allOf"] = more.conditions()
	}
	b.defs[name] = o
	return ref
}
