package project

import (
	"fmt"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// A field's tags say all that can be said of it on its own, to the decoder and
// to the schema alike:
//
//	yaml:"radius"       its key
//	need:"yes"          it may not be left out
//	is:"(0,]"           a number's interval
//	of:"a|b"            the words that a text may be
//	few:"2"             the least number of items of a list
//	doc:"…"             what it means, in words
type rule struct {
	key, doc string
	need     bool
	is       interval
	of       []string
	few      int
}

func ruleOf(f reflect.StructField) rule {
	r := rule{key: f.Tag.Get("yaml"), doc: f.Tag.Get("doc"), need: f.Tag.Get("need") == "yes", is: parseInterval(f.Tag.Get("is"))}
	if words := f.Tag.Get("of"); words != "" {
		r.of = strings.Split(words, "|")
	}
	fmt.Sscan(f.Tag.Get("few"), &r.few)
	return r
}

// fromNode is implemented by types that YAML may write in more than one way.
type fromNode interface {
	fromNode(d *document, n ast.Node, path string, r rule)
}

// at is a value that knows where it stands: which file, which path.
type at struct {
	doc  *document
	path string
}

// decode fills v from a node. Every mistake below the node is reported; v is
// left zero where there was one.
func (d *document) decode(n ast.Node, v reflect.Value, path string, r rule) {
	n = d.resolve(n)
	if n == nil {
		return
	}
	d.values[path] = placeOf(firstToken(n))
	if own, ok := v.Addr().Interface().(fromNode); ok {
		own.fromNode(d, n, path, r)
		return
	}
	switch v.Kind() {
	case reflect.Pointer: // nil wherever there was a mistake
		before := d.report.count()
		value := reflect.New(v.Type().Elem())
		if d.decode(n, value.Elem(), path, r); d.report.count() == before {
			v.Set(value)
		}
	case reflect.Struct:
		d.decodeStruct(n, v, path)
	case reflect.Slice, reflect.Array:
		d.decodeList(n, v, path, r)
	case reflect.Map:
		d.decodeMap(n, v, path)
	case reflect.String:
		d.decodeText(n, v, path, r)
	case reflect.Bool:
		d.decodeBool(n, v, path)
	case reflect.Float64, reflect.Int:
		d.decodeNumber(n, v, path, r)
	default:
		panic(fmt.Sprintf("project: %s cannot be read from YAML", v.Type()))
	}
}

// resolve follows anchors, aliases and tags to the node that holds the value.
func (d *document) resolve(n ast.Node) ast.Node {
	for {
		switch at := n.(type) {
		case *ast.AnchorNode:
			n = at.Value
		case *ast.AliasNode:
			n = d.target[at]
		case *ast.TagNode:
			n = at.Value
		default:
			return n
		}
	}
}

// decodeList reads a list, or exactly as many items as an array has.
func (d *document) decodeList(n ast.Node, v reflect.Value, path string, r rule) {
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		d.wrongType(n, path, "a list")
		return
	}
	if v.Kind() == reflect.Array && len(list.Values) != v.Len() {
		d.problem(path, "", "%d values are needed here, not %d", v.Len(), len(list.Values))
		return
	}
	if len(list.Values) < r.few {
		d.problem(path, "", "at least %d items are needed here, not %d", r.few, len(list.Values))
	}
	if v.Kind() == reflect.Slice {
		v.Set(reflect.MakeSlice(v.Type(), len(list.Values), len(list.Values)))
	}
	for i, item := range list.Values {
		d.decode(item, v.Index(i), fmt.Sprintf("%s[%d]", path, i), rule{is: r.is, of: r.of})
	}
}

// decodeMap reads a mapping of words that are not ours, such as field names.
func (d *document) decodeMap(n ast.Node, v reflect.Value, path string) {
	v.Set(reflect.MakeMap(v.Type()))
	for _, e := range d.entries(n, path) {
		value := reflect.New(v.Type().Elem()).Elem()
		d.decode(e.value, value, join(path, e.key), rule{is: parseInterval("")})
		v.SetMapIndex(reflect.ValueOf(e.key), value)
	}
}

// join makes the path of a key.
func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
