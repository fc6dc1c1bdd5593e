package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"tussock/suitability"
)

func printComparisons(w io.Writer, r compareResult, out string) {
	for _, c := range r.Comparisons {
		printComparison(w, c)
	}
	for _, id := range r.OnlyOld {
		fmt.Fprintf(w, "%s: only in %s\n", id, r.Old)
	}
	for _, id := range r.OnlyNew {
		fmt.Fprintf(w, "%s: only in %s\n", id, r.New)
	}
	if out != "" {
		fmt.Fprintf(w, "rasters of what changed, for the %s audience: %s\n", r.Audience, suitability.ComparisonFile(out))
	}
}

func printComparison(w io.Writer, c *suitability.Comparison) {
	fmt.Fprintf(w, "%s\n  old %.12s, reference date %s; new %.12s, %s\n", c.Title, c.Old.Version, c.Old.Date, c.New.Version, c.New.Date)
	fmt.Fprintf(w, "  %s\n", c.Because)
	if c.Same {
		fmt.Fprintf(w, "  every cell is the same\n\n")
		return
	}
	fmt.Fprintf(w, "  changed %s, %s ha", counted(int(c.Changed.Cells), "cell"), hectares(c.Changed.Hectares))
	if c.Unchanged != nil {
		fmt.Fprintf(w, "; %.1f %% of %s that either shows are unchanged", 100**c.Unchanged, counted(int(c.Shown.Cells), "cell"))
	}
	fmt.Fprintln(w)
	printExtreme(w, "greatest rise", c.GreatestUp)
	printExtreme(w, "greatest fall", c.GreatestOff)
	printMoves(w, c)
	printMatrix(w, c.Matrix)
	printClasses(w, c)
	fmt.Fprintln(w)
}

func printExtreme(w io.Writer, what string, x *suitability.Extreme) {
	if x != nil {
		fmt.Fprintf(w, "  %s %+.3f at %.1f %.1f\n", what, x.Change, x.Centre[0], x.Centre[1])
	}
}

func printMoves(w io.Writer, c *suitability.Comparison) {
	var parts []string
	for _, m := range []struct {
		words string
		area  suitability.Area
	}{
		{"up a class or more", c.Moves.Up}, {"down", c.Moves.Down}, {"appeared", c.Moves.Appeared}, {"vanished", c.Moves.Vanished},
		{"became not assessed", c.Moves.Unknown}, {"not assessed before", c.Moves.Known},
	} {
		if m.area.Cells > 0 {
			parts = append(parts, fmt.Sprintf("%s %s ha", m.words, hectares(m.area.Hectares)))
		}
	}
	if !c.Comparable {
		parts = append(parts, "the classes differ, so steps between them mean nothing")
	}
	if len(parts) > 0 {
		fmt.Fprintf(w, "  %s\n", strings.Join(parts, "; "))
	}
}

// printMatrix leaves out states that no cell has in either version.
func printMatrix(w io.Writer, m suitability.Matrix) {
	fmt.Fprintln(w, "  hectares on the ellipsoid, from the old (rows) to the new (columns):")
	rows, columns := make([]bool, len(m.Old)), make([]bool, len(m.New))
	for i, row := range m.Cells {
		for k, n := range row {
			rows[i], columns[k] = rows[i] || n > 0, columns[k] || n > 0
		}
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	for k, name := range m.New {
		if columns[k] {
			fmt.Fprintf(t, "\t%s", shortState(name))
		}
	}
	fmt.Fprintln(t, "\t")
	for i, name := range m.Old {
		if !rows[i] {
			continue
		}
		fmt.Fprintf(t, "    %s", shortState(name))
		for k := range m.New {
			if columns[k] {
				fmt.Fprintf(t, "\t%s", hectares(m.Hectares[i][k]))
			}
		}
		fmt.Fprintln(t, "\t")
	}
	t.Flush()
}

// shortState is a state without its limits or its reasons.
func shortState(name string) string {
	name, _, _ = strings.Cut(name, " (")
	name, _, _ = strings.Cut(name, ":")
	return name
}

func printClasses(w io.Writer, c *suitability.Comparison) {
	if len(c.Classes) == 0 {
		return
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "  hectares by class\told\tgained\tlost\tnew\t")
	for _, k := range c.Classes {
		fmt.Fprintf(t, "    %s\t%s\t%s\t%s\t%s\t\n", k.Name, hectares(k.Old), hectares(k.Gained), hectares(k.Lost), hectares(k.New))
	}
	t.Flush()
}

// hectares are shown to a hundredth; less than that is not 0.
func hectares(v float64) string {
	if v > 0 && v < 0.01 {
		return "< 0.01"
	}
	return fmt.Sprintf("%.2f", v)
}

func printPairs(w io.Writer, pairs []versionPair, out string) {
	for _, p := range pairs {
		fmt.Fprintf(w, "%s: %.12s would be compared with %.12s\n", p.New.Species, p.Old.Version, p.New.Version)
	}
	if out != "" {
		fmt.Fprintf(w, "rasters would be written to %s\n", out)
	}
}

func printVersions(w io.Writer, folder string, list []*suitability.Version) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "species\treference date\tpublished\tversion\titem")
	older := ""
	for _, v := range list {
		state := ""
		if v.Current {
			state = ", current"
		} else {
			older = v.Item
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%.12s%s\t%s\n", v.Species, v.Date, v.Written.Format(time.DateTime), v.Version, state, v.Item)
	}
	t.Flush()
	if older != "" {
		fmt.Fprintf(w, "compare an older one with the current: tussock compare %s %s\n", older, folder)
	}
}
