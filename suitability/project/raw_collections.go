package project

import (
	"fmt"
	"reflect"

	"github.com/goccy/go-yaml/ast"
)

// ordered is a mapping from names of the writer's own to values, in the order
// in which they are written.
type ordered[T any] []named[T]

type named[T any] struct {
	Name  string
	Value T
}

func (o *ordered[T]) fromNode(d *document, n ast.Node, path string, r rule) {
	for _, e := range d.entries(n, path) {
		var value T
		d.decode(e.value, reflect.ValueOf(&value).Elem(), join(path, e.key), rule{is: r.is, of: r.of})
		*o = append(*o, named[T]{e.key, value})
	}
	if _, isMapping := mappingOf(n); isMapping && len(*o) == 0 {
		d.problem(path, r.doc, "nothing is written here")
	}
}

func (o ordered[T]) names() []string {
	names := make([]string, len(o))
	for i := range o {
		names[i] = o[i].Name
	}
	return names
}

func (o ordered[T]) find(name string) *T {
	for i := range o {
		if o[i].Name == name {
			return &o[i].Value
		}
	}
	return nil
}

// many is a list, or one item written without a list around it.
type many[T any] []T

func (m *many[T]) fromNode(d *document, n ast.Node, path string, r rule) {
	list, ok := n.(*ast.SequenceNode)
	if !ok {
		*m = make([]T, 1)
		d.decode(n, reflect.ValueOf(&(*m)[0]).Elem(), path, r)
		return
	}
	*m = make([]T, len(list.Values))
	for i, item := range list.Values {
		d.decode(item, reflect.ValueOf(&(*m)[i]).Elem(), fmt.Sprintf("%s[%d]", path, i), r)
	}
}
