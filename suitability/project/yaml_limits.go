package project

import (
	"fmt"

	"github.com/goccy/go-yaml/token"
)

// Bounds on the shape of a file. The parser recurses, and it writes every
// node's path out in full, so depth and the sum of path lengths must be known
// before it runs.
const (
	maxMarks     = 1_000_000 // characters that can make a node
	maxDepth     = 32        // nesting; a profile needs 8
	maxKeyBytes  = 1024      // of a key (YAML 1.2.2, section 7.4.2, allows 1024 characters)
	maxPathBytes = 64 << 20  // of all nodes' paths together
	maxNodes     = 1_000_000 // after aliases have been followed
)

// tooManyMarks counts, before anything is cut into tokens, the characters that
// could each make a node.
func tooManyMarks(text string) bool {
	marks := 0
	for i := range len(text) {
		switch text[i] {
		case '[', ']', '{', '}', ',', ':', '-', '?', '&', '*', '!', '#', '|', '>', '%', '"', '\'', '@', '`':
			marks++
		}
	}
	return marks > maxMarks
}

// nesting follows how deep tokens nest: flow collections by their brackets,
// block collections by their columns, and properties (anchors, tags) by how
// many stand in a row.
type nesting struct {
	flow  int
	block []int // columns of the open block collections
	row   int   // properties in a row
	keys  []int // length of the last key at each depth
	paths int
}

// checkShape refuses tokens that would make the parser slow, deep or hungry.
func checkShape(tokens token.Tokens) (*token.Token, string) {
	var n nesting
	for i, t := range tokens {
		if err := n.step(t); err != "" {
			return t, err
		}
		if i+1 < len(tokens) && tokens[i+1].Type == token.MappingValueType {
			if len(t.Value) > maxKeyBytes {
				return t, fmt.Sprintf("a key is longer than %d characters", maxKeyBytes)
			}
			n.open(t.Position.Column)
			n.key(len(t.Value))
		}
	}
	return nil, ""
}

func (n *nesting) step(t *token.Token) string {
	switch t.Type {
	case token.AnchorType, token.TagType, token.AliasType, token.MappingKeyType:
		n.row++
	case token.SequenceEntryType, token.MappingValueType, token.CollectEntryType:
		n.row = 0
	}
	switch t.Type {
	case token.SequenceStartType, token.MappingStartType:
		n.flow++
	case token.SequenceEndType, token.MappingEndType:
		n.flow = max(n.flow-1, 0)
	case token.SequenceEntryType, token.MappingKeyType:
		n.open(t.Position.Column)
	}
	n.paths += n.pathLength()
	switch {
	case n.depth() > maxDepth:
		return fmt.Sprintf("the file nests deeper than %d levels", maxDepth)
	case n.paths > maxPathBytes:
		return "the keys of this file are too long for its size"
	}
	return ""
}

func (n *nesting) depth() int { return n.flow + len(n.block) + n.row }

// open notes a block collection that starts, or goes on, at a column.
func (n *nesting) open(column int) {
	if n.flow > 0 {
		return
	}
	for len(n.block) > 0 && n.block[len(n.block)-1] > column {
		n.block = n.block[:len(n.block)-1]
	}
	if len(n.block) == 0 || n.block[len(n.block)-1] < column {
		n.block = append(n.block, column)
	}
}

// key notes the length of a key at the present depth.
func (n *nesting) key(length int) {
	depth := min(n.flow+len(n.block), maxDepth)
	for len(n.keys) <= depth {
		n.keys = append(n.keys, 0)
	}
	n.keys = n.keys[:depth+1]
	n.keys[depth] = length
}

func (n *nesting) pathLength() int {
	sum := 8 * (n.flow + len(n.block))
	for _, k := range n.keys {
		sum += k
	}
	return sum
}
