package project

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// rewrite gives the file's bytes with other weights: every byte that is not part
// of a number that changes stays where it is.
func (f *ProfileFile) rewrite(w Weights) ([]byte, error) {
	edits, err := f.edits(w)
	if err != nil {
		return nil, err
	}
	var cuts []textCut
	for _, e := range edits {
		if e.weight == e.old {
			continue
		}
		cut, err := f.cutAt(e)
		if err != nil {
			return nil, err
		}
		cuts = append(cuts, cut)
	}
	if len(cuts) == 0 {
		return nil, ErrSameWeights
	}
	return f.holdTo(applyCuts(f.raw, cuts), edits)
}

// holdTo reads the new text and tests that the weights that were to change did,
// and that nothing else did: a number that is shared through an anchor would.
func (f *ProfileFile) holdTo(raw []byte, edits []weightEdit) ([]byte, error) {
	after, err := parseProfile(f.Path, raw)
	if err != nil {
		return nil, fmt.Errorf("project: the profile with these weights would not be valid: %w", err)
	}
	expected := *f.model
	expected.Requisites = slices.Clone(expected.Requisites)
	for i := range expected.Requisites {
		expected.Requisites[i].Criteria = slices.Clone(expected.Requisites[i].Criteria)
	}
	for _, e := range edits {
		q := &expected.Requisites[e.path[1].(int)]
		if len(e.path) == 3 {
			q.Weight = e.weight
		} else {
			q.Criteria[e.path[3].(int)].Weight = e.weight
		}
	}
	if expected.Hash() != after.model.Hash() {
		return nil, f.refuse("requisites", "write the values out instead of sharing them by & and *", "with these weights other values of the profile would change too")
	}
	return raw, nil
}

// textCut is a run of bytes that others take the place of.
type textCut struct {
	from, to int
	text     string
}

func applyCuts(raw []byte, cuts []textCut) []byte {
	slices.SortFunc(cuts, func(a, b textCut) int { return a.from - b.from })
	var out bytes.Buffer
	at := 0
	for _, c := range cuts {
		out.Write(raw[at:c.from])
		out.WriteString(c.text)
		at = c.to
	}
	out.Write(raw[at:])
	return out.Bytes()
}

// cutAt finds the bytes of a weight.
func (f *ProfileFile) cutAt(e weightEdit) (textCut, error) {
	path, t := pathText(e.path), f.numberAt(e.path)
	if t == nil {
		return textCut{}, f.refuse(path, "write the number itself in its own place", "this weight is shared with another place, or left out")
	}
	from := offsetOf(f.raw, t.Position.Line, t.Position.Column)
	to := from + len(t.Value)
	if from < 0 || to > len(f.raw) || string(f.raw[from:to]) != t.Value || isNumberByte(f.raw, from-1) || isNumberByte(f.raw, to) {
		return textCut{}, f.refuse(path, "write it as a plain number, such as 0.25", "this number cannot be found again in the text")
	}
	return textCut{from, to, strconv.FormatFloat(e.weight, 'f', -1, 64)}, nil
}

func isNumberByte(raw []byte, i int) bool {
	return i >= 0 && i < len(raw) && strings.IndexByte("0123456789.+_", raw[i]) >= 0
}

// numberAt is the token of the number at a path; nil where the path leads
// through something that is shared.
func (f *ProfileFile) numberAt(path []any) *token.Token {
	n := f.doc.root
	for _, step := range path {
		switch step := step.(type) {
		case string:
			n = valueOfKey(unwrapped(n), step)
		case int:
			list, ok := unwrapped(n).(*ast.SequenceNode)
			if !ok || step >= len(list.Values) {
				return nil
			}
			n = list.Values[step]
		}
	}
	switch n := unwrapped(n).(type) {
	case *ast.IntegerNode, *ast.FloatNode, *ast.StringNode:
		return n.GetToken()
	}
	return nil
}

// unwrapped takes names and tags off a node, and follows no alias.
func unwrapped(n ast.Node) ast.Node {
	for {
		switch at := n.(type) {
		case *ast.AnchorNode:
			n = at.Value
		case *ast.TagNode:
			n = at.Value
		default:
			return n
		}
	}
}

func valueOfKey(n ast.Node, key string) ast.Node {
	for _, pair := range pairsOf(n) {
		if textOfNode(pair.Key) == key {
			return pair.Value
		}
	}
	return nil
}

// offsetOf is the byte at which a place of the text begins; lines end as
// [textOf] reads them, and a byte order mark takes no column. It is -1 where
// there is no such place.
func offsetOf(raw []byte, line, column int) int {
	at := 0
	if bytes.HasPrefix(raw, []byte("\xef\xbb\xbf")) {
		at = 3
	}
	for ; line > 1; line-- {
		end := bytes.IndexAny(raw[at:], "\r\n")
		if end < 0 {
			return -1
		}
		at += end + 1
		if raw[at-1] == '\r' && at < len(raw) && raw[at] == '\n' {
			at++
		}
	}
	for ; column > 1; column-- {
		_, size := utf8.DecodeRune(raw[at:])
		if size == 0 {
			return -1
		}
		at += size
	}
	return at
}

func pathText(path []any) string {
	text := ""
	for _, step := range path {
		switch step := step.(type) {
		case string:
			text = join(text, step)
		case int:
			text += fmt.Sprintf("[%d]", step)
		}
	}
	return text
}

// refuse is a reason, at its place in the file, not to write.
func (f *ProfileFile) refuse(path, hint, format string, args ...any) error {
	return Problems{f.doc.makeProblem(f.doc.placeOf(path), path, hint, fmt.Sprintf(format, args...))}
}
