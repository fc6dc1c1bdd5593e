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
var packagePrefix = regexp.MustCompile(`(^|: )(?:layers|records|suitability|evidence|project|tiles|gdal): `)

// ownHint is where an error brings its own hint.
var ownHint = regexp.MustCompile(`(?:;|\n) *hint: `)

// wordsOf is an error as users read it, and what to do about it.
func wordsOf(err error) (text, hint string) {
	text = err.Error()
	var problems project.Problems
	if errors.As(err, &problems) {
		return text, "" // which quotes lines of the project file, each with its hint
	}
	for packagePrefix.MatchString(text) {
		text = packagePrefix.ReplaceAllString(text, "$1")
	}
	if at := ownHint.FindStringIndex(text); at != nil {
		return text[:at[0]], ownHint.ReplaceAllString(text[at[1]:], "; ")
	}
	return text, hintOf(err)
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

// unknownSpecies is a mistake of usage: the words, with a verb for the species
// that was asked for, and which of the known ones may be meant.
func unknownSpecies(words, id string, known []string) error {
	hint := "the species are " + list(known)
	if near := layers.Closest(id, known); near != "" {
		hint = fmt.Sprintf("did you mean %s?", near)
	}
	return usage(fmt.Errorf(words, id), hint)
}

// withheldFrom is the degraded exit where an audience was not told of all.
func withheldFrom(audience string, species int) error {
	return &codedError{exitDegraded, fmt.Errorf("withheld from the %s audience: %d of the species", audience, species), "staff may ask with --audience staff"}
}
