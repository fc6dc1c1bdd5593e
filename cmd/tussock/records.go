package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability/project"
)

type recordsOptions struct {
	species    []string
	out, aside string
}

func (a *app) recordsCommand() *cobra.Command {
	var o recordsOptions
	c := &cobra.Command{
		Use:   "records",
		Short: "Test every record, and say what each may be used for",
		Long: `Reads all records of the project and puts each through the same tests, in the same
order: its place, how well that is known, swapped axes, places that stand for
others, water, duplicates, age, dates, blurred places, range, season, elevation.
What the tests need of the ground is named in the project file's section cleaning.
Nothing is deleted and no place is moved: each record keeps the list of what was
found, and may be used for a map (fine), for presence in the area only (coarse),
for range history only (history), or for nothing until a person has looked (held).

Prints counts by source, species, test and use, and no places. Writes nothing,
unless --out names a file for the records (Darwin Core, with use, tests and, for
staff, reasons). Below staff that file has no observers, sensitive species' places
only as their category allows, and no species whose sensitivity the project does
not know; and the counts leave sensitive species out. --aside names a file for the
rows that are held or are no records, as they were, with reasons, for staff. The
exit status is 3 where there are such rows, or species were left out.
` + exitHelp,
		Example: "  tussock records\n  tussock records --species beilschmiedia --json\n  tussock records --audience staff --out cleaned.csv --aside aside.csv",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.records(c.Context(), o) },
	}
	f := c.Flags()
	a.speciesFlag(c, &o.species)
	f.StringVar(&o.out, "out", "", "CSV `file` to write with the records, their use and tests, for --audience (default: none)")
	f.StringVar(&o.aside, "aside", "", asideUsage)
	return c
}

func (a *app) records(ctx context.Context, o recordsOptions) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	if err := a.mayAside(o.aside); err != nil {
		return err
	}
	if err := notThere(o.out); err != nil {
		return err
	}
	p, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer p.Close()
	subjects, err := pick(p.Subjects, o.species)
	if err != nil {
		return err
	}
	cleaning, err := cleanedOf(ctx, p)
	if err != nil {
		return err
	}
	if len(o.species) > 0 {
		cleaning = cleaning.Of(recordNames(subjects)...)
	}
	if err := writeRecords(o.out, p, cleaning, audience); err != nil {
		return err
	}
	if err := a.writeAside(o.aside, cleaning.Aside()); err != nil {
		return err
	}
	result := newRecordsResult(p, subjects, cleaning, audience)
	if err := a.say(result, func(w io.Writer) { printRecords(w, result) }); err != nil {
		return err
	}
	return result.aside()
}

// cleanedOf is the project's cleaning.
func cleanedOf(ctx context.Context, p *project.Opened) (*records.Cleaning, error) {
	cleaning, err := p.Cleaning(ctx)
	if err != nil {
		return nil, &codedError{exitInput, err, "see the records section of the project file"}
	}
	return cleaning, nil
}

// writeRecords writes the records as the audience may have them. An empty path
// writes nothing.
func writeRecords(path string, p *project.Opened, cleaning *records.Cleaning, audience layers.Audience) error {
	if path == "" {
		return nil
	}
	g, err := records.NewGeneraliser(p.Grid.CRS)
	if err != nil {
		return err
	}
	defer g.Close()
	sensitivity := map[string]layers.Sensitivity{}
	for _, s := range p.Subjects {
		sensitivity[project.RecordName(s.Profile)] = s.Profile.Sensitivity
	}
	sheet := records.Sheet{Audience: audience, Generaliser: g, Sensitivity: func(name string) (layers.Sensitivity, bool) {
		s, known := sensitivity[name]
		return s, known
	}}
	return layers.Publish(path, func(w io.Writer) error {
		_, err := sheet.Write(w, cleaning.Records) // how many it leaves out is not told either
		return err
	})
}

// aside is the degraded exit where rows are held or are no records, or species
// are withheld.
func (r recordsResult) aside() error {
	held, rejected := r.Total.Held, r.Total.Rejected
	switch {
	case held+rejected > 0:
		return &codedError{exitDegraded, fmt.Errorf("%s held, %s no records", counted(held, "record"), rowsThatAre(rejected)),
			"--aside FILE --audience staff writes them with their reasons; look at them, or go on without"}
	case r.Hidden > 0:
		return withheldFrom(r.Audience, r.Hidden)
	}
	return nil
}

func rowsThatAre(n int) string {
	if n == 1 {
		return "1 row is"
	}
	return fmt.Sprintf("%d rows are", n)
}
