package project

import (
	"fmt"

	"github.com/goccy/go-yaml/ast"
)

// aliases finds what each alias stands for, and how large and deep the tree
// becomes when all are followed.
type aliases struct {
	target  map[*ast.AliasNode]ast.Node
	anchors map[string]*anchor
}

// anchor is a named part of the tree. It is open while its own inside is being
// walked, when an alias to it would have no end.
type anchor struct {
	value ast.Node
	size  int
	depth int
	open  bool
}

func newAliases(target map[*ast.AliasNode]ast.Node) *aliases {
	return &aliases{target: target, anchors: map[string]*anchor{}}
}

func (a *aliases) follow(n ast.Node) error {
	_, _, err := a.walk(n)
	return err
}

// walk gives the number of nodes below n, and their depth, with aliases
// followed; both stop growing at their bounds.
func (a *aliases) walk(n ast.Node) (size, depth int, err error) {
	switch n := n.(type) {
	case *ast.AnchorNode:
		return a.name(n)
	case *ast.AliasNode:
		return a.resolve(n)
	case *ast.TagNode:
		return a.walk(n.Value)
	}
	size = 1
	for child := range children(n) {
		s, d, err := a.walk(child)
		if err != nil {
			return 0, 0, err
		}
		size, depth = size+s, max(depth, d)
		if size > maxNodes {
			return 0, 0, bomb(n, fmt.Sprintf("its aliases unfold to more than %d entries", maxNodes))
		}
	}
	if depth++; depth > 2*maxDepth {
		return 0, 0, bomb(n, fmt.Sprintf("its aliases unfold deeper than %d levels", 2*maxDepth))
	}
	return size, depth, nil
}

func bomb(n ast.Node, message string) Problem {
	at := placeOf(n.GetToken())
	return Problem{Line: at.line, Column: at.column, Message: message, Hint: "write the values out instead of referring to them"}
}

// name walks an anchor's inside; a later anchor of the same name replaces it.
func (a *aliases) name(n *ast.AnchorNode) (size, depth int, err error) {
	named := &anchor{value: n.Value, open: true}
	a.anchors[textOfNode(n.Name)] = named
	named.size, named.depth, err = a.walk(n.Value)
	named.open = false
	return named.size, named.depth, err
}

func (a *aliases) resolve(n *ast.AliasNode) (size, depth int, err error) {
	name := textOfNode(n.Value)
	named, known := a.anchors[name]
	switch {
	case !known:
		return 0, 0, bomb(n, fmt.Sprintf("*%s stands for nothing: no &%s comes before it", name, name))
	case named.open:
		return 0, 0, bomb(n, fmt.Sprintf("*%s holds itself", name))
	}
	a.target[n] = named.value
	return named.size, named.depth, nil
}

// children are the nodes right below one, keys and values alike.
func children(n ast.Node) func(yield func(ast.Node) bool) {
	return func(yield func(ast.Node) bool) {
		switch n := n.(type) {
		case *ast.MappingNode:
			for _, v := range n.Values {
				if !yield(v.Key) || !yield(v.Value) {
					return
				}
			}
		case *ast.MappingValueNode:
			_ = yield(n.Key) && yield(n.Value)
		case *ast.MappingKeyNode:
			yield(n.Value)
		case *ast.SequenceNode:
			for _, v := range n.Values {
				if !yield(v) {
					return
				}
			}
		}
	}
}

// textOfNode is a scalar as it is written.
func textOfNode(n ast.Node) string {
	if n == nil || n.GetToken() == nil {
		return ""
	}
	return n.GetToken().Value
}
