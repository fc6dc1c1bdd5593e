package project

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"tussock/layers"
)

// word is a text that may look like a number, such as the name of a class.
type word string

func (w *word) fromNode(d *document, n ast.Node, path string, r rule) {
	switch n.(type) {
	case *ast.IntegerNode, *ast.BoolNode:
		*w = word(textOfNode(n))
	default:
		d.decodeText(n, reflect.ValueOf(w).Elem(), path, r)
	}
}

func (d *document) decodeText(n ast.Node, v reflect.Value, path string, r rule) {
	var text string
	switch n := n.(type) {
	case *ast.StringNode:
		text = n.Value
	case *ast.LiteralNode:
		text = n.Value.Value
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		d.problem(path, fmt.Sprintf("if it is meant as a text, put it in quotes: %q", textOfNode(n)), "a text is needed here, not %s", kindOf(n))
		return
	default:
		d.wrongType(n, path, "a text")
		return
	}
	switch {
	case strings.TrimSpace(text) == "":
		d.problem(path, "write something, or leave the key out", "the text is empty")
	case r.of != nil && !contains(r.of, text):
		d.unknownWord(path, text, r.of)
	default:
		v.SetString(text)
	}
}

func contains(list []string, text string) bool {
	for _, known := range list {
		if known == text {
			return true
		}
	}
	return false
}

// unknownWord reports a word that is none of the known ones.
func (d *document) unknownWord(path, text string, known []string) {
	hint := "use " + strings.Join(known, ", ")
	if best := layers.Closest(text, known); best != "" {
		hint = fmt.Sprintf("did you mean `%s`?", best)
	}
	d.problem(path, hint, "%q is not known here", short(text))
}

// short keeps a message to one line.
func short(text string) string {
	if r := []rune(text); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return text
}

func (d *document) decodeBool(n ast.Node, v reflect.Value, path string) {
	if b, ok := n.(*ast.BoolNode); ok {
		v.SetBool(b.Value)
		return
	}
	if s, ok := n.(*ast.StringNode); ok && regexp.MustCompile(`^(?i:yes|no|on|off)$`).MatchString(s.Value) {
		d.problem(path, "write true or false", "%q is a text, not true or false", s.Value)
		return
	}
	d.wrongType(n, path, "true or false")
}

func (d *document) decodeNumber(n ast.Node, v reflect.Value, path string, r rule) {
	number, ok := d.number(n, path)
	switch {
	case !ok:
	case v.Kind() == reflect.Int && (number != math.Trunc(number) || math.Abs(number) > 1<<31):
		d.problem(path, "", "%s is not a whole number", textOfNode(n))
	case !r.is.holds(number):
		d.problem(path, r.doc, "%s is out of bounds: it must be %v", textOfNode(n), r.is)
	case v.Kind() == reflect.Int:
		v.SetInt(int64(number))
	default:
		v.SetFloat(number)
	}
}

var (
	// plainNumber is a number as YAML 1.2.2, section 10.3.2, writes it; the
	// parser knows most of these but takes 1e3 for a text.
	plainNumber = regexp.MustCompile(`^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$`)
	leadingZero = regexp.MustCompile(`^[-+]?0[0-9_]`)
	commaNumber = regexp.MustCompile(`^[-+]?[0-9]+,[0-9]+$`)
	unitNumber  = regexp.MustCompile(`^([-+]?[0-9.]+) *([a-zA-Z%²°/]+)$`)
)

// number reads a finite number, and says what is wrong with things that look
// like one.
func (d *document) number(n ast.Node, path string) (float64, bool) {
	text := textOfNode(n)
	switch n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		if leadingZero.MatchString(text) {
			d.problem(path, "write it without the leading zero", "%s could be read in base 8", text)
			return 0, false
		}
	case *ast.InfinityNode, *ast.NanNode:
		d.problem(path, "", "a finite number is needed here, not %s", text)
		return 0, false
	case *ast.StringNode:
		if n.GetToken().Type != token.StringType || !plainNumber.MatchString(text) {
			d.noNumber(n, path)
			return 0, false
		}
	default:
		d.wrongType(n, path, "a number")
		return 0, false
	}
	number, err := strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
	if err != nil {
		if whole, isWhole := n.(*ast.IntegerNode); isWhole { // 0x1F and its like
			return asFloat(whole.Value), true
		}
		d.problem(path, "", "%s is not a usable number", short(text))
		return 0, false
	}
	return number, true
}

func asFloat(whole any) float64 {
	switch whole := whole.(type) {
	case int64:
		return float64(whole)
	case uint64:
		return float64(whole)
	}
	return math.NaN()
}

func (d *document) noNumber(n ast.Node, path string) {
	text := textOfNode(n)
	hint := ""
	switch parts := unitNumber.FindStringSubmatch(text); {
	case n.GetToken().Type != token.StringType:
		hint = "leave the quotes out"
	case commaNumber.MatchString(text):
		hint = "write " + strings.Replace(text, ",", ".", 1)
	case parts != nil:
		hint = "write " + parts[1] + " alone, without a unit"
	}
	d.problem(path, hint, "a number is needed here, not the text %q", short(text))
}
