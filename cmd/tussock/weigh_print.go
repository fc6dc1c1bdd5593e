package main

import (
	"fmt"
	"io"
	"time"

	"tussock/suitability/evidence"
	"tussock/suitability/project"
)

// weighResult is weights with all that is known of them.
type weighResult struct {
	Species     string             `json:"species"`
	Of          string             `json:"of"`
	Kind        string             `json:"kind"`
	Date        string             `json:"date"`
	Evidence    string             `json:"evidence,omitempty"`
	Items       []weighItem        `json:"items"`
	Consistency *consistencyResult `json:"consistency,omitempty"`
	Experts     []weighExpert      `json:"experts"`
	Warnings    []string           `json:"warnings"`
	Note        string             `json:"note"`
	Accepted    *versionResult     `json:"accepted,omitempty"`
}

// weighItem is one weight, before and after.
type weighItem struct {
	ID      string   `json:"id"`
	Present float64  `json:"present"`
	Weight  float64  `json:"weight"`
	Rounded float64  `json:"rounded"` // as it would be accepted
	Low     *float64 `json:"low,omitempty"`
	High    *float64 `json:"high,omitempty"`
}

// weighExpert is one expert's own weights, in the order of the items.
type weighExpert struct {
	Code        string             `json:"code"`
	Evidence    string             `json:"evidence,omitempty"`
	Weights     []float64          `json:"weights"`
	Low         []float64          `json:"low,omitempty"`
	High        []float64          `json:"high,omitempty"`
	Consistency *consistencyResult `json:"consistency,omitempty"`
}

type consistencyResult struct {
	Lambda float64       `json:"lambda_max"`
	Index  float64       `json:"index"`
	Ratio  *float64      `json:"ratio"` // null where two items cannot disagree
	Worst  *tripleResult `json:"worst,omitempty"`
}

// tripleResult is the three comparisons that agree least.
type tripleResult struct {
	Items   [3]string `json:"items"`
	Product float64   `json:"product"` // 1 where they agree
	Again   [2]string `json:"look_again"`
	Said    float64   `json:"said"`
	Rest    float64   `json:"others_say"`
}

func newWeighResult(j *project.Judgements, w *evidence.Weighing, rounded []float64) *weighResult {
	r := &weighResult{
		Species: j.Species, Of: j.Of, Kind: j.Kind, Date: j.Date.Format(time.DateOnly), Evidence: j.Evidence,
		Consistency: newConsistency(w.Items, w.Consistency), Warnings: append([]string{}, w.Warnings...), Note: evidence.AgreementNote,
	}
	if r.Of == "" {
		r.Of = "requisites"
	}
	if j.Kind == "pairwise" {
		r.Note = evidence.ConsistencyNote
	}
	if j.Minimum {
		r.Warnings = append(r.Warnings, "the profile's rule is minimum: the worst requisite decides whatever requisites weigh, so that these weights move no map")
	}
	for i, s := range w.Spans {
		item := weighItem{ID: w.Items[i], Present: j.Present[i], Weight: s.Best, Rounded: rounded[i]}
		if w.HasSpread {
			item.Low, item.High = &s.Low, &s.High
		}
		r.Items = append(r.Items, item)
	}
	for i, o := range w.Opinions {
		e := weighExpert{Code: o.Expert, Evidence: j.Experts[i].Evidence, Consistency: newConsistency(w.Items, o.Consistency)}
		for _, s := range o.Spans {
			e.Weights = append(e.Weights, s.Best)
			if o.HasSpread {
				e.Low, e.High = append(e.Low, s.Low), append(e.High, s.High)
			}
		}
		r.Experts = append(r.Experts, e)
	}
	return r
}

func newConsistency(items []string, c *evidence.Consistency) *consistencyResult {
	if c == nil {
		return nil
	}
	r := &consistencyResult{Lambda: c.Lambda, Index: c.Index}
	if c.Judged {
		r.Ratio = &c.Ratio
	}
	if t := c.Worst; t != nil {
		r.Worst = &tripleResult{Product: t.Cycle, Said: t.Said, Rest: t.Rest, Again: [2]string{items[t.Again[0]], items[t.Again[1]]}}
		for i, item := range t.Items {
			r.Worst.Items[i] = items[item]
		}
	}
	return r
}

// kindWords say how experts were asked.
var kindWords = map[string]string{"pairwise": "comparisons in pairs", "intervals": "four-step intervals", "direct": "direct weights"}

func (r *weighResult) print(w io.Writer) {
	what := "the requisites of " + r.Species
	if r.Of != "requisites" {
		what = "the criteria of " + r.Of + ", " + r.Species
	}
	fmt.Fprintf(w, "Weights of %s\n", what)
	fmt.Fprintf(w, "  %s by %s, %s\n", kindWords[r.Kind], counted(len(r.Experts), "expert"), r.Date)
	if r.Evidence != "" {
		fmt.Fprintf(w, "  evidence: %s\n", r.Evidence)
	}
	r.printTable(w)
	r.printConsistency(w)
	for _, warning := range r.Warnings {
		fmt.Fprintf(w, "warning: %s\n", warning)
	}
	fmt.Fprintln(w, r.Note)
	if r.Accepted != nil {
		r.Accepted.print(w)
	}
}

// printTable prints the weights before and after, their spread, and what each
// of several experts came to.
func (r *weighResult) printTable(w io.Writer) {
	widest := 0
	for _, item := range r.Items {
		widest = max(widest, len([]rune(item.ID)))
	}
	row := func(id string, cells ...string) {
		fmt.Fprintf(w, "  %-*s", widest, id)
		for _, cell := range cells {
			fmt.Fprintf(w, "  %6s", cell)
		}
		fmt.Fprintln(w)
	}
	low, high := "least", "most"
	if r.Kind == "intervals" {
		low, high = "10 %", "90 %"
	}
	spread := len(r.Items) > 0 && r.Items[0].Low != nil
	head := []string{"before", "after"}
	if spread {
		head = append(head, low, high)
	}
	if len(r.Experts) > 1 {
		for _, e := range r.Experts {
			head = append(head, e.Code)
		}
	}
	row("", head...)
	for i, item := range r.Items {
		cells := []string{fmt.Sprintf("%.3f", item.Present), fmt.Sprintf("%.3f", item.Rounded)}
		if spread {
			cells = append(cells, fmt.Sprintf("%.3f", *item.Low), fmt.Sprintf("%.3f", *item.High))
		}
		if len(r.Experts) > 1 {
			for _, e := range r.Experts {
				cells = append(cells, fmt.Sprintf("%.3f", e.Weights[i]))
			}
		}
		row(item.ID, cells...)
	}
}

func (r *weighResult) printConsistency(w io.Writer) {
	show := func(who string, c *consistencyResult) {
		switch {
		case c == nil:
		case c.Ratio == nil:
			fmt.Fprintf(w, "consistency of %s: two items cannot disagree\n", who)
		default:
			fmt.Fprintf(w, "consistency of %s: λmax %.4f, index %.4f, ratio %.3f\n", who, c.Lambda, c.Index, *c.Ratio)
		}
	}
	for _, e := range r.Experts {
		show("expert "+e.Code, e.Consistency)
	}
	if len(r.Experts) > 1 {
		show("all together", r.Consistency)
	}
}
