package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tussock/suitability"
)

func (a *app) mapVerifyCommand() *cobra.Command {
	o := mapOptions{workers: 1}
	c := &cobra.Command{
		Use: "verify", Short: "Check that every published map is there, current and unbroken", Args: cobra.NoArgs,
		Long: `Holds the published maps against the project as it is now: every species in its
present version, and every file with the size and checksum in its STAC item. Reads
all files, and writes nothing. The exit status is 7 where something differs.
` + exitHelp,
		Example: "  tussock map verify --audience staff",
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withPlan(c.Context(), o, 1, func(p *suitability.Plan) error { return a.verify(c.Context(), p) })
		},
	}
	c.Flags().StringVar(&o.out, "out", "", "the output `folder`, in place of the project file's")
	return c
}

func (a *app) verify(ctx context.Context, p *suitability.Plan) error {
	differences, err := p.Verify(ctx)
	if err != nil {
		return &codedError{exitInput, err, "run `tussock map` for this audience first"}
	}
	if err := a.say(verifyResult{p.CataloguePath(), append([]suitability.Difference{}, differences...)}, func(w io.Writer) {
		for _, d := range differences {
			fmt.Fprintln(w, d)
		}
		if len(differences) == 0 {
			fmt.Fprintf(w, "everything is there, current and unbroken: %s\n", p.CataloguePath())
		}
	}); err != nil {
		return err
	}
	if len(differences) > 0 {
		return &codedError{exitDiffers, fmt.Errorf("%s found", counted(len(differences), "difference")),
			"remove the item (JSON) of a broken surface and run `tussock map` again"}
	}
	return nil
}

type verifyResult struct {
	Catalogue   string                   `json:"catalogue"`
	Differences []suitability.Difference `json:"differences"`
}
