package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/layers/records"
)

func (a *app) checkCommand() *cobra.Command {
	var aside string
	c := &cobra.Command{
		Use:   "check",
		Short: "Find every mistake in the project file, and change nothing",
		Long: `Reads the project file and the profiles that it names, opens every layer, range,
table of records and source of visits, and reports all mistakes together: file,
line and column, the line itself, and what to do. Rows of records and visits that
cannot be used are counted by reason, and the exit status is then 3. For staff it
says on how many visits each species was found, looked for and not found, or left
unsaid; below staff, where a species is sensitive, records and finds that are in
order are not counted. Writes nothing, unless --aside names a file for the rows that cannot be
used with their reasons, which only staff may have.
` + exitHelp,
		Example: "  tussock check\n  tussock check --project heaths/tussock.yaml --json",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.check(c.Context(), aside) },
	}
	c.Flags().StringVar(&aside, "aside", "", asideUsage)
	return c
}

type checkResult struct {
	Project  string        `json:"project"`
	Grid     string        `json:"grid"`
	Layers   []string      `json:"layers"`
	Species  []string      `json:"species"`
	Records  []recordCount `json:"records,omitempty"`
	Visits   *visitsResult `json:"visits,omitempty"`
	Warnings []string      `json:"warnings,omitempty"`
}

type recordCount struct {
	Source  string         `json:"source"`
	Kept    *int           `json:"kept,omitempty"` // nil where it may not be told
	Aside   int            `json:"kept_aside"`
	Reasons map[string]int `json:"reasons,omitempty"`
}

func (a *app) check(ctx context.Context, asideFile string) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	if err := a.mayAside(asideFile); err != nil {
		return err
	}
	o, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer o.Close()
	result := checkResult{Project: o.Name, Grid: describeGrid(o.Grid), Layers: o.Layers.Names()}
	for _, s := range o.Subjects {
		result.Species = append(result.Species, s.Profile.ID)
	}
	if result.Warnings, err = warningsOf(o); err != nil {
		return err
	}
	var aside []records.Reject
	if result.Records, aside, err = readRecords(ctx, o, mayTellTotals(o.Subjects, audience)); err != nil {
		return err
	}
	visits, notVisits, err := readVisits(ctx, o, audience)
	if err != nil {
		return err
	}
	result.Visits = visits
	if err := a.writeAside(asideFile, append(aside, notVisits...)); err != nil {
		return err
	}
	if err := a.say(result, func(w io.Writer) { printCheck(w, result) }); err != nil {
		return err
	}
	if aside := result.aside(); aside > 0 {
		return &codedError{exitDegraded, fmt.Errorf("%s kept aside", counted(aside, "record")), "--aside FILE --audience staff writes them with their reasons; mend them, or go on without"}
	}
	return nil
}

// aside is how many rows are no records, and no visits.
func (r checkResult) aside() (n int) {
	for _, c := range r.Records {
		n += c.Aside
	}
	return n + r.Visits.aside()
}

func printCheck(w io.Writer, r checkResult) {
	for _, warning := range r.Warnings {
		fmt.Fprintf(w, "warning: %s\n", warning)
	}
	fmt.Fprintf(w, "%s: no mistakes found\n", r.Project)
	fmt.Fprintf(w, "  grid     %s\n", r.Grid)
	fmt.Fprintf(w, "  layers   %s\n", list(r.Layers))
	fmt.Fprintf(w, "  species  %s\n", list(r.Species))
	for _, c := range r.Records {
		kept := ""
		if c.Kept != nil {
			kept = fmt.Sprintf("%d kept, ", *c.Kept)
		}
		fmt.Fprintf(w, "  records  %s: %s%d kept aside%s\n", c.Source, kept, c.Aside, reasons(c.Reasons))
	}
	r.Visits.print(w)
}
