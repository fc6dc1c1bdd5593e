package main

import (
	"context"

	"github.com/spf13/cobra"

	"tussock/suitability"
)

func (a *app) buildCommand() *cobra.Command {
	var m mapOptions
	t := tileOptions{min: -1, max: -1} // as the project file says
	c := &cobra.Command{
		Use:   "build",
		Short: "Do the whole project: check, maps, tiles",
		Long: `Checks the project file, computes the maps of every species, and makes map tiles
from them. What is already there is kept; only what changed is computed again.
` + exitHelp,
		Example: "  tussock build\n  tussock build --audience staff --out maps",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.build(c.Context(), m, t) },
	}
	m.flags(c)
	return c
}

func (a *app) build(ctx context.Context, m mapOptions, t tileOptions) error {
	err := a.withPlan(ctx, m, 1, func(p *suitability.Plan) error { return a.mapAll(ctx, m, p) })
	if err != nil || m.dryRun {
		return err
	}
	t.out, t.workers = m.out, m.workers
	return a.tiles(ctx, t)
}
