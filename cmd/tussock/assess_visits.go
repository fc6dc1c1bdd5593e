package main

import (
	"fmt"
	"io"
	"maps"
	"slices"

	"tussock/suitability"
	"tussock/suitability/evidence"
)

// visitsHeadline is what visits say, in a sentence.
func visitsHeadline(v *evidence.PresenceAbsence) string {
	if v.Sites == 0 {
		return "Visits: none says anything of it where the map does"
	}
	sites := fmt.Sprintf("visits found it at %d of %s", v.Found, counted(v.Sites, "site"))
	if v.Err != nil {
		return "Visits: too few to judge: " + sites
	}
	return fmt.Sprintf("Visits: %s; a threshold of %.2f tells finds from blanks best (true skill statistic %.2f)", sites, v.Best.Threshold, v.Best.TSS)
}

func printVisited(w io.Writer, classes suitability.Classes, v *evidence.PresenceAbsence) {
	fmt.Fprintf(w, "  visits   %d\n", v.Visits)
	for _, u := range slices.Sorted(maps.Keys(v.UnusedVisits)) {
		fmt.Fprintf(w, "           %d not: %s\n", v.UnusedVisits[u], u)
	}
	fmt.Fprintf(w, "  sites    %d judge, %d with a find and %d without; %d visited more than once\n", v.Sites, v.Found, v.Blank, v.Repeated)
	for _, u := range slices.Sorted(maps.Keys(v.UnusedSites)) {
		fmt.Fprintf(w, "           %s not: %s\n", counted(v.UnusedSites[u], "site"), u)
	}
	if v.Err != nil {
		fmt.Fprintln(w, "  figures  none: too few sites, or too few of one kind")
		return
	}
	fmt.Fprintf(w, "  AUC      %s: finds against blanks\n", aucWords(v.AUC))
	fmt.Fprintf(w, "  Brier    %.3f; telling every site the share of finds: %.3f. Suitability is no probability\n           until visits have calibrated it: read it beside the classes below\n", v.Brier.Score, v.Brier.Reference)
	t := table(w)
	fmt.Fprintln(t, "  suitability at least\tsensitivity\tspecificity\tTSS\tsites\t")
	for _, r := range append(slices.Clone(v.Thresholds), v.Best) {
		fmt.Fprintf(t, "  %.3f\t%.3f\t%.3f\t%.3f\t%.3f\t\n", r.Threshold, r.Sensitivity, r.Specificity, r.TSS, r.Share)
	}
	t.Flush()
	t = table(w)
	fmt.Fprintln(t, "  class\tsites\tvisits\tfound\tshare\t95 of 100\tcorrected\t95 of 100\t")
	for i, c := range v.Classes {
		fmt.Fprintf(t, "  %s\t%d\t%d\t%d\t%s\t%s\t\n", suitability.ClassWords(len(classes) + 1)[i], c.Sites, c.Visits, c.Found,
			withInterval(c.Share, c.ShareLow, c.ShareHigh, c.HasShare), withInterval(c.Psi, c.PsiLow, c.PsiHigh, c.HasPsi))
	}
	t.Flush()
	if v.HasDetection {
		fmt.Fprintf(w, "  One visit finds what is there with a chance of %.2f, taken as the same in all classes, and\n  sites as the same in all visits (assumptions).\n", v.Detection)
	}
}

// withInterval fills two columns.
func withInterval(v, low, high float64, ok bool) string {
	if !ok {
		return "undefined\t"
	}
	return fmt.Sprintf("%.2f\t%.2f to %.2f", v, low, high)
}
