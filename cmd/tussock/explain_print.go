package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"tussock/layers"
	"tussock/suitability"
)

func printCells(w io.Writer, job *suitability.Job, cells []*suitability.CellExplanation) {
	for i, x := range cells {
		if i > 0 {
			fmt.Fprintln(w)
		}
		printCell(w, job, x)
	}
}

func printCell(w io.Writer, job *suitability.Job, x *suitability.CellExplanation) {
	profile := x.Profile
	fmt.Fprintf(w, "%s, cell %d, %d (centre %.2f %.2f)\n", profile.Title(), x.Col, x.Row, x.Centre[0], x.Centre[1])
	for i, r := range x.Requisites {
		fmt.Fprintf(w, "  requisite %-18s weight %-5.3g  %s\n", r.ID, r.Weight, number(r.Value, ""))
		for k, c := range r.Criteria {
			m := profile.Requisites[i].Criteria[k].Measure
			fmt.Fprintf(w, "    criterion %-16s weight %-5.3g  %-22s rating %s\n", c.ID, c.Weight, measured(job, m, c.Value), number(c.Rating, ""))
		}
	}
	fmt.Fprintf(w, "  together (%s)  %s\n", profile.Rule, number(x.H, ""))
	for i, m := range x.Multipliers {
		fmt.Fprintf(w, "  multiplier %-17s %-22s factor %s\n", m.ID, measured(job, profile.Multipliers[i].Measure, m.Value), number(m.Factor, ""))
	}
	for i, e := range x.Exclusions {
		state := "does not hold"
		if e.Excluded {
			state = "holds"
		}
		fmt.Fprintf(w, "  exclusion %-18s %-22s %s\n", e.ID, measured(job, profile.Exclusions[i].Measure, e.Value), state)
	}
	printRange(w, job, x)
}

func printRange(w io.Writer, job *suitability.Job, x *suitability.CellExplanation) {
	fmt.Fprintf(w, "  habitat  %s\n", number(x.S, ""))
	fmt.Fprintf(w, "  range    %s", x.InRange.Words())
	if !math.IsNaN(x.EdgeDistance) {
		fmt.Fprintf(w, ", %.0f m away", x.EdgeDistance)
	}
	fmt.Fprintf(w, "; planning factor %s\n", number(x.Planning, ""))
	if math.IsNaN(x.Shown) {
		fmt.Fprintf(w, "  shown    nothing: %s\n", x.Standing.Words())
		return
	}
	fmt.Fprintf(w, "  shown    %s, class %s; %s\n", number(x.Shown, ""), job.Classes.Legend(nil)[x.Class].Name, x.Standing.Words())
}

// measured shows a measured value: a class by its name, the best of other
// species with theirs, a number with its unit.
func measured(job *suitability.Job, m layers.Measure, v float64) string {
	if near, ok := m.(suitability.NearbySpecies); ok {
		return fmt.Sprintf("%s, the best of %s within %.4g m", number(v, ""), strings.Join(near.Names(), ", "), near.Radius)
	}
	names := m.LayerNames()
	if v != v || len(names) == 0 {
		return number(v, m.Unit())
	}
	if _, plain := m.(layers.Value); plain {
		if l, err := job.Layers.Layer(names[0]); err == nil && l.Kind == layers.Classes && int(v) < len(l.Classes) {
			return l.Classes[int(v)].Name
		}
	}
	return number(v, m.Unit())
}
