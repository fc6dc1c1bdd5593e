package project

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"tussock/layers"
)

// decodeStruct reads a mapping with keys that are ours.
func (d *document) decodeStruct(n ast.Node, v reflect.Value, path string) {
	if _, ok := mappingOf(n); !ok {
		d.wrongType(n, path, "a mapping (key: value)")
		return
	}
	fields := fieldsOf(v)
	for _, e := range d.entries(n, path) {
		f, known := fields.named(e.key)
		if !known {
			d.unknownKey(path, e.key, fields.keys())
			continue
		}
		d.decode(e.value, f.value, join(path, e.key), f.rule)
	}
	for _, f := range fields {
		if f.rule.need {
			d.need(path, f.rule.key, f.rule.doc, "`%s` is missing", f.rule.key)
		}
	}
	if own, ok := v.Addr().Interface().(interface{ stands(at) }); ok {
		own.stands(at{d, path})
	}
}

// stands lets a section that embeds at know its place.
func (a *at) stands(here at) { *a = here }

// field is one field of a section, with its place in memory.
type field struct {
	value reflect.Value
	rule  rule
}

type fields []field

// fieldsOf lists a section's fields; those of embedded sections are its own.
func fieldsOf(v reflect.Value) fields {
	var list fields
	for i := range v.NumField() {
		f := v.Type().Field(i)
		switch {
		case f.Anonymous && f.Type != reflect.TypeFor[at]():
			list = append(list, fieldsOf(v.Field(i))...)
		case f.Tag.Get("yaml") != "":
			list = append(list, field{v.Field(i), ruleOf(f)})
		}
	}
	return list
}

func (f fields) named(key string) (field, bool) {
	i := slices.IndexFunc(f, func(x field) bool { return x.rule.key == key })
	if i < 0 {
		return field{}, false
	}
	return f[i], true
}

func (f fields) keys() []string {
	keys := make([]string, len(f))
	for i := range f {
		keys[i] = f[i].rule.key
	}
	return keys
}

// present tells whether a key was written.
func (d *document) present(path, key string) bool {
	_, ok := d.keys[join(path, key)]
	return ok
}

// need reports a key that is not there, unless it was mistyped.
func (d *document) need(path, key, hint, format string, args ...any) {
	if !d.present(path, key) && !d.meant[join(path, key)] {
		d.problemAs(path, join(path, key), hint, format, args...)
	}
}

// unknownKey reports a key and remembers the one that was probably meant.
func (d *document) unknownKey(path, key string, known []string) {
	hint := "the keys here are " + strings.Join(known, ", ")
	best := layers.Closest(key, known)
	if best != "" {
		hint = fmt.Sprintf("did you mean `%s`?", best)
		d.meant[join(path, best)] = true
	}
	d.keyProblem(join(path, key), hint, "there is no key `%s` here", short(key))
}

// entry is one key of a mapping with its value.
type entry struct {
	key   string
	value ast.Node
}

// mappingOf is the pairs of a mapping, whichever way the parser holds them.
func mappingOf(n ast.Node) ([]*ast.MappingValueNode, bool) {
	switch n := n.(type) {
	case *ast.MappingNode:
		return n.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{n}, true
	}
	return nil, false
}

// entries lists a mapping's keys in their order. Keys written twice are
// reported and the first one kept; `<<: *other` adds the other mapping's keys
// that are not written here.
func (d *document) entries(n ast.Node, path string) []entry {
	pairs, ok := mappingOf(n)
	if !ok {
		d.wrongType(n, path, "a mapping (key: value)")
		return nil
	}
	var list []entry
	first := map[string]place{}
	var merged []ast.Node
	for _, pair := range pairs {
		if _, merge := pair.Key.(*ast.MergeKeyNode); merge {
			merged = append(merged, pair.Value)
			continue
		}
		key, token, ok := d.keyOf(pair.Key, path)
		if !ok {
			continue
		}
		at := placeOf(token)
		if before, twice := first[key]; twice {
			d.problemAt(at, join(path, key), "keep one of the two", "`%s` was written before, in line %d", key, before.line)
			continue
		}
		first[key] = at
		d.keys[join(path, key)] = at
		list = append(list, entry{key, pair.Value})
	}
	for _, other := range merged {
		list = d.merge(list, first, other, path)
	}
	return list
}

// merge adds the keys of another mapping, or of several, that are not there.
func (d *document) merge(list []entry, first map[string]place, other ast.Node, path string) []entry {
	other = d.resolve(other)
	if several, ok := other.(*ast.SequenceNode); ok {
		for _, one := range several.Values {
			list = d.merge(list, first, one, path)
		}
		return list
	}
	pairs, ok := mappingOf(other)
	if !ok {
		d.wrongType(other, path, "a mapping to merge")
		return list
	}
	for _, pair := range pairs {
		key, token, ok := d.keyOf(pair.Key, path)
		if _, here := first[key]; !ok || here {
			continue
		}
		first[key] = placeOf(token)
		d.keys[join(path, key)] = first[key]
		list = append(list, entry{key, pair.Value})
	}
	return list
}

// keyOf is a key as it is written; only plain values can be keys.
func (d *document) keyOf(n ast.MapKeyNode, path string) (string, *token.Token, bool) {
	var node ast.Node = n
	if explicit, ok := n.(*ast.MappingKeyNode); ok {
		node = explicit.Value
	}
	node = d.resolve(node)
	if _, scalar := node.(ast.ScalarNode); !scalar {
		d.problemAt(placeOf(n.GetToken()), path, "", "a key must be a word or a number")
		return "", nil, false
	}
	return textOfNode(node), node.GetToken(), true
}
