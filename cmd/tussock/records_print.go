package main

import (
	"cmp"
	"fmt"
	"io"
	"text/tabwriter"
)

func printRecords(w io.Writer, r recordsResult) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Project, counted(r.Total.Rows, "row"))
	printUses(w, "source", r.Sources)
	printUses(w, "species", r.Species)
	if r.Hidden > 0 {
		fmt.Fprintf(w, "%d more species, sensitive: how many records they have is for staff\n\n", r.Hidden)
	}
	printTests(w, r.Tests)
	fmt.Fprint(w, `
fine: may shape a map. coarse: presence in the area only. history: range history
only. held: nothing, until a person has looked. no record: the row cannot be used.
`)
}

// printUses prints a table, its names to the right of the numbers. Rows that are
// no records are of a source, and of no species.
func printUses(w io.Writer, head string, list []usesResult) {
	if len(list) == 0 {
		return
	}
	t := tabwriter.NewWriter(w, 8, 8, 2, ' ', tabwriter.AlignRight)
	ofSource := head == "source"
	last := func(u any) string {
		if ofSource {
			return fmt.Sprintf("%v\t", u)
		}
		return ""
	}
	fmt.Fprintf(t, "rows\tfine\tcoarse\thistory\theld\t%s  %s\n", last("no record"), head)
	for _, u := range list {
		name := cmp.Or(u.Title, u.Name)
		fmt.Fprintf(t, "%d\t%d\t%d\t%d\t%d\t%s  %s\n", u.Rows, u.Fine, u.Coarse, u.History, u.Held, last(u.Rejected), name)
	}
	t.Flush()
	fmt.Fprintln(w)
}

// printTests prints what was found; tests that found nothing are left out.
func printTests(w io.Writer, tests []testsResult) {
	t := tabwriter.NewWriter(w, 8, 8, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "flagged\theld\t  by")
	none := true
	for _, x := range tests {
		switch {
		case x.Flagged == 0:
			continue
		case x.Reason != "":
			fmt.Fprintf(t, "%d\t\t  no record: %s\n", x.Flagged, x.Reason)
		default:
			fmt.Fprintf(t, "%d\t%d\t  %s: %s\n", x.Flagged, x.Held, x.Test, x.Words)
		}
		none = false
	}
	if none {
		fmt.Fprintln(t, "0\t0\t  any test")
	}
	t.Flush()
}
