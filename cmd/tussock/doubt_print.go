package main

import (
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"

	"tussock/suitability"
	"tussock/suitability/evidence"
)

func printDoubts(w io.Writer, r doubtResult, path string) {
	fmt.Fprintf(w, "%d draws from seed %d, for the %s audience\n", r.Draws, r.Seed, r.Audience)
	caveat := ""
	for _, s := range r.Species {
		fmt.Fprintf(w, "\n%s\n", s.Title)
		var d evidence.DoubtFacts
		if json.Unmarshal(s.Doubt.Facts, &d) == nil {
			printDoubt(w, d)
			caveat = d.Caveat
		}
		var n evidence.NoveltyFacts
		if json.Unmarshal(s.Extrapolation.Facts, &n) == nil {
			printNovelty(w, n)
		}
		printDoubtFiles(w, s)
	}
	for _, id := range r.Withheld {
		fmt.Fprintf(w, "\n%s: withheld from this audience\n", id)
	}
	if caveat != "" {
		fmt.Fprintf(w, "\n%s\n", caveat)
	}
	fmt.Fprintf(w, "listed in %s\n", path)
}

func printDoubtFiles(w io.Writer, s speciesDoubt) {
	for _, e := range []*suitability.CompanionEntry{s.Doubt, s.Extrapolation} {
		fmt.Fprintf(w, "  %s, with", e.Item)
		for i, name := range slices.Sorted(maps.Keys(e.Files)) {
			if i > 0 {
				fmt.Fprint(w, ",")
			}
			fmt.Fprintf(w, " %s", name)
		}
		fmt.Fprintln(w)
	}
}

func printDoubt(w io.Writer, d evidence.DoubtFacts) {
	fmt.Fprintf(w, "  %d cells in doubt\n", d.Cells)
	fmt.Fprintf(w, "  %-18s %10s %10s %24s\n", "varied", "spread", "share", "class moves in 25 %")
	for _, name := range []string{"weights", "curves", "rule", "all"} {
		s := d.Source[name]
		share := percent(s.Share)
		if name == "all" {
			share = ""
		}
		fmt.Fprintf(w, "  %-18s %10s %10s %24s\n", name, decimal(s.Spread), share, percent(s.Moved))
	}
	fmt.Fprintf(w, "  mean stability %s; 0.6 or more in %s of cells, 1 in %s\n", decimal(d.Stability), percent(d.Worded), percent(d.Sure))
	fmt.Fprintf(w, "  moved most by")
	for i, name := range []string{"weights", "curves", "rule", "none"} {
		if i > 0 {
			fmt.Fprint(w, ",")
		}
		fmt.Fprintf(w, " %s %s", name, percent(d.Dominant[name]))
	}
	fmt.Fprintln(w, " of cells")
	for i, c := range d.Changes {
		if i == 3 {
			break
		}
		fmt.Fprintf(w, "  %-6s of cells change class by: %s\n", percent(&c.Share), c.Change)
	}
}

func printNovelty(w io.Writer, n evidence.NoveltyFacts) {
	fmt.Fprintf(w, "  beyond what is known: outside a curve's knots %s", percent(n.Knots.Share))
	if n.Similarity.NotJudged == "" {
		fmt.Fprintf(w, "; unlike the ground of records %s", percent(n.Similarity.Share))
	}
	if n.Distance.NotJudged == "" {
		fmt.Fprintf(w, "; farther than %.0f m from any record %s", n.Distance.FarM, percent(n.Distance.Share))
	}
	fmt.Fprintln(w)
	if n.Similarity.NotJudged != "" {
		fmt.Fprintf(w, "    likeness to records not judged: %s\n", n.Similarity.NotJudged)
	}
	if n.Distance.NotJudged != "" {
		fmt.Fprintf(w, "    distance to records not judged: %s\n", n.Distance.NotJudged)
	}
}

// percent and decimal write a share, or say that it is undefined.
func percent(share *float64) string {
	if share == nil {
		return "undefined"
	}
	return fmt.Sprintf("%.1f %%", 100**share)
}

func decimal(v *float64) string {
	if v == nil {
		return "undefined"
	}
	return fmt.Sprintf("%.3f", *v)
}
