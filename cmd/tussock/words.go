package main

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"tussock/layers"
	"tussock/suitability/project"
)

// list joins names as a sentence does.
func list(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// counted is a number of things: 1 block, 2 blocks.
func counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return fmt.Sprintf("%d %s", n, thing)
}

// packagePrefix is how an error says which package it comes from, which means
// nothing to people who run the program.
var packagePrefix = regexp.MustCompile(`(^|: )(?:layers|records|suitability|project|tiles|gdal): `)

// plain is an error as users read it.
func plain(err error) string {
	var problems project.Problems
	if errors.As(err, &problems) {
		return err.Error() // which quotes lines of the project file
	}
	text := err.Error()
	for packagePrefix.MatchString(text) {
		text = packagePrefix.ReplaceAllString(text, "$1")
	}
	return text
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
