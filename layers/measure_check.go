package layers

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// layerOfKind is the layer that a measure reads, or an error that says what
// the measure needs instead.
func layerOfKind(r Reader, measure, name string, kinds ...Kind) (*Layer, error) {
	layer, err := r.Layer(name)
	if err != nil {
		return nil, err
	}
	if slices.Contains(kinds, layer.Kind) {
		return layer, nil
	}
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = k.String()
	}
	return nil, fmt.Errorf("layers: %s cannot be taken of layer %q, which is of kind %s; it needs %s",
		measure, name, layer.Kind, strings.Join(words, " or "))
}

// checkMetres refuses a length that is not positive and finite.
func checkMetres(measure, layer, what string, metres float64) error {
	if metres > 0 && !math.IsInf(metres, 0) {
		return nil
	}
	return fmt.Errorf("layers: %s of layer %q: %s is %g m; it must be more than 0", measure, layer, what, metres)
}

// checkUnit refuses a number outside 0 to 1.
func checkUnit(measure, layer, what string, v float64) error {
	if v >= 0 && v <= 1 {
		return nil
	}
	return fmt.Errorf("layers: %s of layer %q: %s is %g; it must lie between 0 and 1", measure, layer, what, v)
}

// checkField refuses an attribute that a features layer lacks.
func checkField(l *Layer, measure, field string) error {
	if field == "" {
		return fmt.Errorf("layers: %s of layer %q: no attribute is named", measure, l.Name)
	}
	if _, ok := l.Fields[field]; ok {
		return nil
	}
	known := make([]string, 0, len(l.Fields))
	for name := range l.Fields {
		known = append(known, name)
	}
	slices.Sort(known)
	hint := "it has " + shortList(known)
	if like := Closest(field, known); like != "" {
		hint = fmt.Sprintf("did you mean %q?", like)
	}
	return fmt.Errorf("layers: %s of layer %q: no attribute %q; hint: %s", measure, l.Name, field, hint)
}

// classCodes finds the codes of named classes, each code once.
func classCodes(l *Layer, measure string, names []string) ([]uint8, error) {
	codes := make([]uint8, 0, len(names))
	for _, name := range names {
		code, ok := l.ClassIndex(name)
		if !ok {
			return nil, unknownClass(l, measure, name)
		}
		if slices.Contains(codes, code) {
			return nil, fmt.Errorf("layers: %s of layer %q: class %q is named twice", measure, l.Name, name)
		}
		codes = append(codes, code)
	}
	return codes, nil
}

func unknownClass(l *Layer, measure, name string) error {
	known := make([]string, len(l.Classes))
	for i, c := range l.Classes {
		known[i] = c.Name
	}
	hint := "it has no classes at all"
	if like := Closest(name, known); like != "" {
		hint = fmt.Sprintf("did you mean %q?", like)
	} else if len(known) > 0 {
		hint = "it has " + classNames(l)
	}
	return fmt.Errorf("layers: %s of layer %q: no class %q; hint: %s", measure, l.Name, name, hint)
}

// shortList names the first few of many.
func shortList(names []string) string {
	const most = 12
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
}

// keyNumber writes a number so that equal numbers and only those look alike.
func keyNumber(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// keyNames writes names in an order of their own, quoted so that no name can
// look like two.
func keyNames(names []string) string {
	sorted := slices.Compact(slices.Sorted(slices.Values(names)))
	for i, name := range sorted {
		sorted[i] = strconv.Quote(name)
	}
	return "[" + strings.Join(sorted, ",") + "]"
}

// classNames lists a layer's classes for a message.
func classNames(l *Layer) string {
	names := make([]string, len(l.Classes))
	for i, c := range l.Classes {
		names[i] = c.Name
	}
	return shortList(names)
}
