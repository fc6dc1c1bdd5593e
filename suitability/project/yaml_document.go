package project

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// place is where something stands in a file; both count from 1.
type place struct{ line, column int }

func placeOf(t *token.Token) place {
	if t == nil || t.Position == nil {
		return place{}
	}
	return place{t.Position.Line, t.Position.Column}
}

// document is one YAML file: its tree, and where each of its values stands.
type document struct {
	file   string
	lines  []string
	root   ast.Node
	target map[*ast.AliasNode]ast.Node
	values map[string]place // by path, as the decoder met them
	keys   map[string]place
	meant  map[string]bool // paths of keys that a mistyped one stands for
	report *report
}

// readDocument reads a file as far as its tree. Whatever is wrong has been
// reported when it returns nil.
func readDocument(path, text string, r *report) *document {
	d := &document{file: path, lines: strings.Split(text, "\n"), report: r, values: map[string]place{}, keys: map[string]place{}, meant: map[string]bool{}}
	if err := d.parse(text); err != nil {
		var p Problem
		if !errors.As(err, &p) {
			p = Problem{Message: err.Error()}
		}
		p.File = path
		if p.Line > 0 {
			p.Excerpt = excerpt(d.lines, p.Line, p.Column)
		}
		r.add(p)
		return nil
	}
	return d
}

// parse turns text into a tree that is safe to walk: bounded in depth and, with
// aliases followed, in size.
func (d *document) parse(text string) error {
	if tooManyMarks(text) {
		return Problem{Message: "the file has too many entries", Hint: "data belongs into layers; the project file only names them"}
	}
	file, err := treeOf(text)
	if err != nil {
		return err
	}
	if d.root, err = onlyRoot(file); err != nil {
		return err
	}
	d.target = map[*ast.AliasNode]ast.Node{}
	return newAliases(d.target).follow(d.root)
}

// treeOf runs the YAML library. A panic inside it is a syntax error that it did
// not foresee, never a reason to fall over.
func treeOf(text string) (file *ast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			file, err = nil, Problem{Message: "this is not YAML: the parser cannot make sense of it"}
		}
	}()
	tokens := lexer.Tokenize(text)
	if t, wrong := checkShape(tokens); wrong != "" {
		at := placeOf(t)
		return nil, Problem{Line: at.line, Column: at.column, Message: wrong}
	}
	if file, err = parser.Parse(tokens, 0, parser.AllowDuplicateMapKey()); err != nil {
		return nil, syntaxProblem(err)
	}
	return file, nil
}

// onlyRoot is the body of the only document of a file.
func onlyRoot(file *ast.File) (ast.Node, error) {
	var root ast.Node
	for _, doc := range file.Docs {
		switch doc.Body.(type) {
		case nil, *ast.DirectiveNode, *ast.CommentGroupNode:
			continue
		}
		if root != nil {
			at := placeOf(doc.Body.GetToken())
			return nil, Problem{Line: at.line, Column: at.column, Message: "a second document starts in this file", Hint: "keep one document; delete the line ---"}
		}
		root = doc.Body
	}
	if root == nil {
		return nil, Problem{Message: "the file is empty"}
	}
	return root, nil
}

// syntaxHints put what usually lies behind a parser's message.
var syntaxHints = []struct{ message, hint string }{
	{"mapping value is not allowed", "a text that holds `: ` needs quotes; or the line is indented otherwise than its neighbours"},
	{"cannot start any token", "indent with spaces, not with tabs"},
	{"tab character", "indent with spaces, not with tabs"},
	{"reserved character", "put the text in quotes"},
	{"end character of", "a quote is opened and not closed"},
	{"must be specified", "a bracket is opened and not closed"},
	{"not allowed in this context", "the line is indented otherwise than its neighbours"},
	{"non-map value", "a key needs a colon and a space after it: `key: value`"},
	{"unknown escape", `write \\ for a backslash, or use single quotes`},
}

// syntaxProblem keeps the parser's message and place, and adds a hint.
func syntaxProblem(err error) Problem {
	var located interface {
		GetMessage() string
		GetToken() *token.Token
	}
	if !errors.As(err, &located) {
		return Problem{Message: fmt.Sprintf("this is not YAML: %v", err)}
	}
	at := placeOf(located.GetToken())
	p := Problem{Line: at.line, Column: at.column, Message: "this is not YAML: " + strings.ReplaceAll(located.GetMessage(), "\t", "tab")}
	for _, known := range syntaxHints {
		if strings.Contains(p.Message, known.message) {
			p.Hint = known.hint
			break
		}
	}
	return p
}
