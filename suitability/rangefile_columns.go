package suitability

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"tussock/layers"
)

// findColumns matches the source's columns, by the project's word first.
func (r *rangeReader) findColumns(fields []layers.Field) error {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.Name
	}
	r.columns, r.values = map[string]string{}, map[string]string{}
	for _, key := range slices.Sorted(maps.Keys(r.source.Fields)) {
		if !slices.Contains(rangeFields, key) {
			return fmt.Errorf("fields: %q is not a field of ranges%s", key, orElse(key, rangeFields))
		}
		column := r.source.Fields[key]
		if r.columns[key] = sameName(column, names); r.columns[key] == "" {
			return fmt.Errorf("there is no column %q for %s%s", column, key, orElse(column, names))
		}
	}
	for _, key := range slices.Sorted(maps.Keys(r.source.Values)) {
		if !slices.Contains(rangeFields, key) {
			return fmt.Errorf("values: %q is not a field of ranges%s", key, orElse(key, rangeFields))
		}
		r.values[key] = r.source.Values[key]
	}
	for _, key := range rangeFields {
		if r.columns[key] == "" {
			r.columns[key] = sameName(key, names)
		}
	}
	for _, key := range []string{"species", "status"} {
		if r.columns[key] == "" && r.values[key] == "" {
			return fmt.Errorf("there is no column for %s%s\nhint: name it, as in fields: {%s: column}, or give all polygons one, as in values: {%s: …}", key, orElse(key, names), key, key)
		}
	}
	return nil
}

// sameName is the column of that name, by case only if it must.
func sameName(name string, names []string) string {
	if slices.Contains(names, name) {
		return name
	}
	for _, n := range names {
		if strings.EqualFold(n, name) {
			return n
		}
	}
	return ""
}

// orElse is a hint at what may have been meant.
func orElse(word string, known []string) string {
	if best := layers.Closest(word, known); best != "" {
		return fmt.Sprintf("\nhint: did you mean %q?", best)
	}
	if len(known) == 0 {
		return ""
	}
	return "\nhint: there are " + strings.Join(known, ", ")
}
