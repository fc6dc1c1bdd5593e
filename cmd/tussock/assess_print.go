package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/evidence"
)

// whatItCannotSay stands below every assessment.
const whatItCannotSay = `
What these numbers cannot say
  An index of 1 says that the map ranks ground well. It says nothing of how likely
  an animal is to be anywhere.
  Records come from where people go. Where people go to good places, a map looks
  better than it is.
  A site where visits found nothing may hold the animal all the same.
  One map, one period, one area: nothing follows for other areas or years.
`

// print says all that staff may know.
func (s *assessed) print(w io.Writer, job *suitability.Job) {
	fmt.Fprintf(w, "%s, seed %d\n", s.project, s.seed)
	for _, one := range s.list {
		fmt.Fprintf(w, "\n%s\n  %s.\n", one.Subject.Profile.Title(), headline(&one.Background))
		if s.visits {
			fmt.Fprintf(w, "  %s.\n", visitsHeadline(&one.Visited))
		}
	}
	fmt.Fprintln(w)
	printFolded(w, "", "The index is that of Boyce, −1 to 1; what stands behind it in brackets holds 95 of 100 indices of blocks drawn again. "+capital(evidence.ClaimRule)+".")
	for _, one := range s.list {
		fmt.Fprintf(w, "\n%s: records against the ground\n", one.Subject.Profile.Title())
		printBackground(w, job, one)
		if s.visits {
			fmt.Fprintf(w, "\n%s: visits with finds against visits with blanks\n", one.Subject.Profile.Title())
			printVisited(w, job.Classes, &one.Visited)
		}
	}
	fmt.Fprint(w, whatItCannotSay)
}

// printFolded prints a text in lines of at most 80 signs.
func printFolded(w io.Writer, indent, text string) {
	line := indent
	for _, word := range strings.Fields(text) {
		if line != indent && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > 80 {
			fmt.Fprintln(w, line)
			line = indent
		}
		if line != indent {
			line += " "
		}
		line += word
	}
	fmt.Fprintln(w, line)
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

func printBackground(w io.Writer, job *suitability.Job, one *evidence.Assessment) {
	p := &one.Background
	printUsed(w, p)
	printBlocks(w, p)
	if !p.Judged() {
		fmt.Fprintf(w, "  index    %s\n", strings.TrimPrefix(p.InRange.Index.Err.Error(), "evidence: "))
		return
	}
	x := p.InRange.Index
	fmt.Fprintf(w, "  index    %.3f%s over suitability %.3f to %.3f; %s\n", x.Index, between(x), x.Domain.Low, x.Domain.High, methodWords(x))
	fmt.Fprintf(w, "           with repeated ratios dropped: %s\n", figure(x.Dropped, x.DroppedErr))
	fmt.Fprintf(w, "  AUC      %s\n", aucWords(p.InRange.AUC))
	printFolded(w, "           ", evidence.AUCCaveat)
	fmt.Fprintln(w)
	printFolds(w, p.Folds)
	fmt.Fprintf(w, "  against %s\n", groundWords(p.InRange, job.Grid.Cell, one.Subject.Range))
	printAgainst(w, p.InRange, job.Classes)
	if p.WithEdge != nil {
		e := p.WithEdge
		fmt.Fprintf(w, "  the range's edge counted in: %d records, %.1f km²; index %s, AUC %s\n", e.Records, km2(e.Cells, job.Grid.Cell), figure(e.Index.Index, e.Index.Err), aucWords(e.AUC))
		printAgainst(w, *e, job.Classes)
	}
	for _, m := range p.Measures {
		printMeasure(w, job, m)
	}
}

func printUsed(w io.Writer, p *evidence.PresenceBackground) {
	fmt.Fprintf(w, "  records  %d of %d judge\n", p.InRange.Records, p.Rows)
	for _, u := range p.UnusedInOrder() {
		more := ""
		if u == evidence.NotInRange && p.AtEdge > 0 {
			more = fmt.Sprintf(", %d of them at its edge", p.AtEdge)
		}
		fmt.Fprintf(w, "           %d not: %s%s\n", p.Unused[u], u, more)
	}
	if p.Rebuilt {
		fmt.Fprint(w, "           The profile looks at records: what it makes of them was made again for every\n           block without the block's own, and for every fold without the fold's.\n")
	}
}

func printBlocks(w io.Writer, p *evidence.PresenceBackground) {
	s := p.Side
	effect := fmt.Sprintf("four times the scale of effect %.0f m", s.Effect)
	if s.Effect == 0 {
		effect = "no scale of effect stated"
	}
	why := fmt.Sprintf("the widest of %.0f m, %s, and habitat alike within %.0f m", s.Least, effect, s.Range)
	if p.Variogram.Beyond {
		why += " or more"
	}
	if s.Cut {
		why += ", which counts for a third of the area's shorter side, so that folds are less independent than they should be"
	}
	fmt.Fprintf(w, "  blocks   %d of %.0f m, %d with records\n", p.Blocks, s.Metres, p.Occupied)
	printFolded(w, "           ", capital(why))
}

func methodWords(x evidence.Index) string {
	if x.Method == evidence.Smoothed {
		return fmt.Sprintf("%s of bandwidth %.3f, %d points", x.Method, x.Bandwidth, x.Used)
	}
	return fmt.Sprintf("%s of a tenth, %d windows", x.Method, x.Used)
}

func figure(v float64, err error) string {
	if err != nil {
		return whyNot(err)
	}
	return fmt.Sprintf("%.3f", v)
}

func aucWords(a evidence.AUCResult) string {
	switch {
	case a.Presences == 0:
		return "undefined"
	case !a.HasInterval:
		return fmt.Sprintf("%.3f", a.Value)
	}
	return fmt.Sprintf("%.3f (%.3f to %.3f)", a.Value, a.Low, a.High)
}

func km2(cells int64, cell float64) float64 { return float64(cells) * cell * cell / 1e6 }

func groundWords(g evidence.AgainstGround, cell float64, r *suitability.RangeMap) string {
	where := "documented and uncertain range"
	if len(r.Polygons()) == 0 {
		where = "the whole area, since nobody has documented a range"
	}
	return fmt.Sprintf("%s: %d records, %.1f km²", where, g.Records, km2(g.Cells, cell))
}

func table(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
}

func printFolds(w io.Writer, folds []evidence.FoldFigures) {
	if len(folds) == 0 {
		fmt.Fprint(w, "  folds    none: the records lie in one block\n\n")
		return
	}
	t := table(w)
	fmt.Fprintln(t, "  fold\tblocks with records\trecords\tcells\tindex\tAUC\t")
	for _, f := range folds {
		fmt.Fprintf(t, "  %d\t%d\t%d\t%d\t%s\t%s\t\n", f.Fold, f.Blocks, f.Records, f.Cells, figure(f.Index.Index, f.Index.Err), aucWords(f.AUC))
	}
	t.Flush()
	fmt.Fprintln(w)
}

func printAgainst(w io.Writer, g evidence.AgainstGround, classes suitability.Classes) {
	if g.Index.Err != nil {
		return
	}
	t := table(w)
	fmt.Fprintln(t, "  suitability at least\tof records\tof area\tgain\t  ")
	row := func(r evidence.AreaRow, words string) {
		fmt.Fprintf(t, "  %.3f\t%.3f\t%.3f\t%.3f\t  %s\n", r.Threshold, r.Sensitivity, r.Area, r.Gain, words)
	}
	for _, r := range g.Thresholds {
		row(r, "")
	}
	row(g.Omission, "a tenth of the records lies below")
	row(g.Gain, "the greatest gain")
	t.Flush()
	t = table(w)
	fmt.Fprintln(t, "  best of the area\tof records\ttimes\t")
	for _, r := range g.Lift {
		fmt.Fprintf(t, "  %.0f %%\t%.1f %%\t%.2f\t\n", 100*r.Area, 100*r.Records, r.Times)
	}
	t.Flush()
	t = table(w)
	fmt.Fprintln(t, "  class\trecords\tof area\tratio\t95 of 100\t")
	for i, r := range g.Classes {
		printRatio(t, suitability.ClassWords(len(classes) + 1)[i], r)
	}
	t.Flush()
	fmt.Fprintln(w)
}

func printRatio(w io.Writer, name string, r evidence.SelectionRatio) {
	if !r.HasRatio {
		fmt.Fprintf(w, "  %s\t%d\t%.3f\tundefined\t\t\n", name, r.Used, r.AreaShare)
		return
	}
	fmt.Fprintf(w, "  %s\t%d\t%.3f\t%.2f\t%.2f to %.2f\t\n", name, r.Used, r.AreaShare, r.Ratio, r.RatioLow, r.RatioHigh)
}

func printMeasure(w io.Writer, job *suitability.Job, m evidence.MeasureUse) {
	fmt.Fprintf(w, "  choice by %s", strings.Join(m.Parts, ", "))
	if m.Err != nil {
		_, why, _ := strings.Cut(m.Err.Error(), "undefined: ")
		fmt.Fprintf(w, ": no table: %s\n\n", why)
		return
	}
	if unit := m.Measure.Unit(); unit != "" {
		fmt.Fprintf(w, ", %s", unit)
	}
	if m.Unknown > 0 {
		fmt.Fprintf(w, " (not known at %s)", counted(m.Unknown, "record"))
	}
	fmt.Fprintln(w)
	t := table(w)
	fmt.Fprintln(t, "  from\trecords\tof area\tratio\t95 of 100\t")
	for _, r := range m.Ratios {
		printRatio(t, intervalWords(job.Layers, m, r), r)
	}
	t.Flush()
	fmt.Fprintln(w)
}

// intervalWords name a class, or the interval that a tenth of the ground is in.
func intervalWords(set *layers.Set, m evidence.MeasureUse, r evidence.SelectionRatio) string {
	if !m.ByClass {
		return fmt.Sprintf("%.4g to %.4g", r.Low, r.High)
	}
	for _, name := range m.Measure.LayerNames() {
		if l, err := set.Layer(name); err == nil && r.Class < len(l.Classes) {
			return l.Classes[r.Class].Name
		}
	}
	return fmt.Sprintf("class %d", r.Class)
}
