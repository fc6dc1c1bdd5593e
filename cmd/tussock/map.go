package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/project"
)

// mapOptions are the flags of map and of its stages.
type mapOptions struct {
	out     string
	workers int
	block   int
	shard   int // from 1
	shards  int
	dryRun  bool
}

func (o *mapOptions) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the output `folder`, in place of the project file's; each audience gets a folder in it")
	f.IntVar(&o.workers, "workers", runtime.NumCPU(), "`blocks` worked on at a time; the result does not depend on it")
	f.IntVar(&o.block, "block", suitability.DefaultBlock, "side of a block in `cells`, a multiple of 512; the result does not depend on it")
	f.BoolVar(&o.dryRun, "dry-run", false, "say what would be computed, and write nothing")
}

// shardsFlag is the same for every stage: all must agree on the number.
func (o *mapOptions) shardsFlag(c *cobra.Command) {
	c.Flags().IntVar(&o.shards, "shards", 1, "how many `parts` the work is cut into, the same for plan, run and reduce")
}

func (a *app) mapCommand() *cobra.Command {
	var o mapOptions
	c := &cobra.Command{
		Use:   "map",
		Short: "Compute suitability maps from the layers, ranges and profiles",
		Long: `Reads the project's layers, ranges and profiles and writes, for each species,
rasters of habitat (staff only), suitability, class and standing, and the number
of species by cell, as Cloud Optimized GeoTIFF with styles, names and a STAC item.
Files are named by what they were made from and never change; a run finds what is
there and computes only what is new. Memory is bounded by the block, not the area.

The stages plan, run and reduce do the same in parts, on several
machines that share a folder; verify checks what is published.
` + exitHelp,
		Example: "  tussock map --audience staff\n  tussock map run --audience staff --shard 2 --shards 8",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withPlan(c.Context(), o, 1, func(p *suitability.Plan) error { return a.mapAll(c.Context(), o, p) })
		},
	}
	o.flags(c)
	c.AddCommand(a.mapPlanCommand(), a.mapRunCommand(), a.mapReduceCommand(), a.mapVerifyCommand())
	return c
}

func (a *app) mapPlanCommand() *cobra.Command {
	var o mapOptions
	c := &cobra.Command{
		Use: "plan", Short: "Say what a map would compute, in how many blocks and shards", Args: cobra.NoArgs,
		Long:    "Prints the plan: species with their versions, blocks and shards. Writes nothing.\n" + exitHelp,
		Example: "  tussock map plan --audience staff --shards 8 --json",
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withPlan(c.Context(), o, o.shards, func(p *suitability.Plan) error { return a.sayPlan(p) })
		},
	}
	o.flags(c)
	o.shardsFlag(c)
	return c
}

func (a *app) mapRunCommand() *cobra.Command {
	var o mapOptions
	c := &cobra.Command{
		Use: "run", Short: "Compute one shard of a map", Args: cobra.NoArgs,
		Long:    "Computes the blocks of one shard that are not there yet. It may be killed, repeated, or run twice at once.\n" + exitHelp,
		Example: "  tussock map run --audience staff --shard 2 --shards 8",
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withPlan(c.Context(), o, o.shards, func(p *suitability.Plan) error {
				return a.runShard(c.Context(), o, p)
			})
		},
	}
	o.flags(c)
	o.shardsFlag(c)
	c.Flags().IntVar(&o.shard, "shard", 1, "which `part`, from 1")
	return c
}

func (a *app) mapReduceCommand() *cobra.Command {
	var o mapOptions
	c := &cobra.Command{
		Use: "reduce", Short: "Join computed shards into published maps", Args: cobra.NoArgs,
		Long:    "Joins the blocks of all shards into published rasters. Where a block is missing it says which shard to run.\n" + exitHelp,
		Example: "  tussock map reduce --audience staff --shards 8",
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withPlan(c.Context(), o, o.shards, func(p *suitability.Plan) error { return a.reduce(c.Context(), o, p) })
		},
	}
	o.flags(c)
	o.shardsFlag(c)
	return c
}

// withPlan opens the project and plans it for an audience.
func (a *app) withPlan(ctx context.Context, o mapOptions, shards int, work func(*suitability.Plan) error) error {
	return a.withProject(ctx, o, shards, func(_ *project.Opened, p *suitability.Plan) error { return work(p) })
}

// withProject is withPlan for work that looks at the project as well.
func (a *app) withProject(ctx context.Context, o mapOptions, shards int, work func(*project.Opened, *suitability.Plan) error) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	if err := o.validate(shards); err != nil {
		return err
	}
	opened, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer opened.Close()
	if err := a.warn(opened); err != nil {
		return err
	}
	job, err := newJob(opened, audience, o.out)
	if err != nil {
		return err
	}
	plan, err := job.Plan(o.block, shards)
	switch {
	case errors.Is(err, suitability.ErrNothing):
		return &codedError{exitDegraded, err, "every species is withheld from this audience; staff may map them with --audience staff"}
	case err != nil:
		return usage(err, "")
	}
	return work(opened, plan)
}

// validate checks what needs no project.
func (o mapOptions) validate(shards int) error {
	switch {
	case o.workers < 1:
		return usage(fmt.Errorf("%d workers cannot do the work", o.workers), "--workers is 1 or more")
	case shards < 1:
		return usage(fmt.Errorf("the work cannot be cut into %d parts", shards), "--shards is 1 or more")
	case o.shard < 0 || o.shard > shards:
		return usage(fmt.Errorf("there is no part %d of %d", o.shard, shards), fmt.Sprintf("--shard is 1 to %d", shards))
	}
	return nil
}

// runShard computes the blocks of one shard.
func (a *app) runShard(ctx context.Context, o mapOptions, p *suitability.Plan) error {
	if o.dryRun {
		return a.sayPlan(p)
	}
	if err := p.Run(ctx, o.shard-1, suitability.RunOptions{Workers: o.workers, Progress: a.progress()}); err != nil {
		return resumable(err)
	}
	return a.say(map[string]int{"shard": o.shard, "shards": p.Shards}, func(w io.Writer) {
		fmt.Fprintf(w, "part %d of %d is computed\n", o.shard, p.Shards)
	})
}

func (a *app) mapAll(ctx context.Context, o mapOptions, p *suitability.Plan) error {
	if o.dryRun {
		return a.sayPlan(p)
	}
	if err := p.Run(ctx, 0, suitability.RunOptions{Workers: o.workers, Progress: a.progress()}); err != nil {
		return resumable(err)
	}
	return a.reduce(ctx, o, p)
}

func (a *app) reduce(ctx context.Context, o mapOptions, p *suitability.Plan) error {
	if o.dryRun {
		return a.sayPlan(p)
	}
	c, err := p.Reduce(ctx, suitability.RunOptions{Workers: o.workers, Progress: a.progress()})
	if err != nil {
		return resumable(err)
	}
	return a.say(c, func(w io.Writer) {
		fmt.Fprintf(w, "%d species mapped for the %s audience, %d withheld: %s\n", len(c.Species), c.Audience, len(c.Withheld), p.CataloguePath())
	})
}

// resumable tells an interrupted user that nothing was lost.
func resumable(err error) error {
	switch {
	case errors.Is(err, context.Canceled):
		return &codedError{exitInterrupted, errors.New("interrupted; what was computed is kept"), "run the same command again to go on"}
	case errors.Is(err, suitability.ErrIncomplete):
		return &codedError{exitInput, err, "run that shard with `tussock map run`, with the same --shards and --block"}
	}
	return err
}

func (a *app) sayPlan(p *suitability.Plan) error {
	return a.say(p, func(w io.Writer) {
		fmt.Fprintf(w, "%s of %d by %d cells in %s, for the %s audience\n", counted(p.Cols*p.Rows, "block"), p.Block, p.Block, counted(p.Shards, "shard"), p.Audience)
		for _, t := range p.Tasks {
			state := "to be computed"
			switch {
			case t.Withheld:
				state = "withheld from this audience"
			case t.Done:
				state = "already there"
			}
			fmt.Fprintf(w, "  %-24s %s  %s\n", t.Species, t.Key[:12], state)
		}
	})
}
