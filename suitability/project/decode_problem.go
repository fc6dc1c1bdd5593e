package project

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// problem reports a mistake in the value at a path.
func (d *document) problem(path, hint, format string, args ...any) {
	d.problemAs(path, path, hint, format, args...)
}

// problemAs reports a mistake at one place under the path of another, such as a
// key that is missing from a mapping.
func (d *document) problemAs(where, path, hint, format string, args ...any) {
	d.problemAt(d.placeOf(where), path, hint, format, args...)
}

// keyProblem reports a mistake in a key itself.
func (d *document) keyProblem(path, hint, format string, args ...any) {
	at, ok := d.keys[path]
	if !ok {
		at = d.placeOf(path)
	}
	d.problemAt(at, path, hint, format, args...)
}

func (d *document) problemAt(at place, path, hint, format string, args ...any) {
	d.report.add(d.makeProblem(at, path, hint, fmt.Sprintf(format, args...)))
}

// warn notes something that is no mistake.
func (d *document) warn(path, hint, format string, args ...any) {
	p := d.makeProblem(d.placeOf(path), path, hint, fmt.Sprintf(format, args...))
	d.report.warnings = append(d.report.warnings, p)
}

func (d *document) makeProblem(at place, path, hint, message string) Problem {
	return Problem{File: d.file, Line: at.line, Column: at.column, Path: path, Message: message, Hint: hint, Excerpt: excerpt(d.lines, at.line, at.column)}
}

// placeOf is where a path stands, or the nearest path above it that does.
func (d *document) placeOf(path string) place {
	for {
		if at, ok := d.values[path]; ok {
			return at
		}
		if at, ok := d.keys[path]; ok {
			return at
		}
		cut := strings.LastIndexAny(path, ".[")
		if cut < 0 {
			return d.values[""]
		}
		path = path[:cut]
	}
}

func (d *document) wrongType(n ast.Node, path, wanted string) {
	if _, nothing := n.(*ast.NullNode); nothing {
		d.problem(path, "fill it in, or leave the key out", "nothing is written here; %s is needed", wanted)
		return
	}
	d.problem(path, "", "%s is needed here, not %s", wanted, kindOf(n))
}

// kindOf names what a node is.
func kindOf(n ast.Node) string {
	switch n.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "a mapping"
	case *ast.SequenceNode:
		return "a list"
	case *ast.StringNode, *ast.LiteralNode:
		return fmt.Sprintf("the text %q", short(textOfNode(n)))
	case *ast.BoolNode:
		return textOfNode(n)
	case *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode:
		return "the number " + short(textOfNode(n))
	case *ast.NullNode:
		return "nothing"
	}
	return "this"
}

// firstToken is where a node starts to be read: a mapping at its first key.
func firstToken(n ast.Node) *token.Token {
	switch n := n.(type) {
	case *ast.MappingNode:
		if !n.IsFlowStyle && len(n.Values) > 0 {
			return n.Values[0].Key.GetToken()
		}
		return n.Start
	case *ast.MappingValueNode:
		return n.Key.GetToken()
	}
	return n.GetToken()
}
