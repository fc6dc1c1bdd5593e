package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"tussock/layers"
)

// list joins names as a sentence does.
func list(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

func reasons(counts map[string]int) string {
	var parts []string
	for _, reason := range slices.Sorted(maps.Keys(counts)) {
		parts = append(parts, fmt.Sprintf("%s %d", reason, counts[reason]))
	}
	if parts == nil {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}

func describeGrid(g layers.Grid) string {
	crs := g.CRS.Code()
	if crs == "" {
		crs = g.CRS.Name()
	}
	return fmt.Sprintf("%d by %d cells of %g m, %s", g.Cols, g.Rows, g.Cell, crs)
}

// number shows a value with as many digits as people read.
func number(v float64, unit string) string {
	switch {
	case v != v:
		return "not known"
	case unit == "":
		return fmt.Sprintf("%.4g", v)
	}
	return fmt.Sprintf("%.4g %s", v, unit)
}
