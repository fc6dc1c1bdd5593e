package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/evidence"
	"tussock/suitability/project"
	"tussock/tiles"
)

type doubtOptions struct {
	mapOptions
	species []string
	draws   int
	seed    uint64
}

// doubtBlock is smaller than a map's: every cell takes many draws.
const doubtBlock = 512

func (a *app) doubtCommand() *cobra.Command {
	var o doubtOptions
	c := &cobra.Command{
		Use:   "doubt",
		Short: "Say how far each map may be doubted, and where it goes beyond what is known",
		Long: `Draws profiles that might as well have been written and maps each of them: weights
of requisites and criteria (Dirichlet around the stated ones), knots of curves (x
times a lognormal factor of 0.2, y by 0.08, ends, order and shape kept) and the
rule of combination (arithmetic, geometric, minimum). These widths are assumptions.
Measures are taken once: doubt about layers and records is not in it.

For each species it writes rasters of the median, the 10th and the 90th percentile,
the class of most draws and the share of draws in it (stability), the source that
moves a cell most, and the single change that would move its class; and of
extrapolation, three flags kept apart: a measure outside its curve's knots, ground
unlike that of all accepted records (from 10 on), and places farther from any
accepted record than the species is known to go (movement, far). They are made for
cells that are shown, assessed and not excluded, and show nothing finer than the
audience's map. Flags that depend on records of a sensitive species are for staff.

Files are named by what they were made from and never change. Memory is bounded by
the block. 500 draws of six criteria take about 45 seconds a million cells and
processor core; a run that was interrupted goes on where it was.
` + exitHelp,
		Example: "  tussock doubt --audience staff\n  tussock doubt --audience staff --species beilschmiedia --draws 100 --seed 7 --json",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return a.withProject(c.Context(), o.mapOptions, 1, func(opened *project.Opened, p *suitability.Plan) error {
				return a.doubt(c.Context(), o, opened, p)
			})
		},
	}
	o.flags(c)
	f := c.Flags()
	f.Lookup("block").DefValue = fmt.Sprint(doubtBlock)
	o.block = doubtBlock
	a.speciesFlag(c, &o.species)
	f.IntVar(&o.draws, "draws", evidence.DefaultDraws, "how many `profiles` are drawn, 10 to 10000")
	f.Uint64Var(&o.seed, "seed", 1, "`number` that the draws are made from: the same seed, the same draws")
	return c
}

// doubtResult is what doubt says of all species.
type doubtResult struct {
	Audience string         `json:"audience"`
	Draws    int            `json:"draws"`
	Seed     uint64         `json:"seed"`
	Species  []speciesDoubt `json:"species"`
	Withheld []string       `json:"withheld,omitempty"`
}

type speciesDoubt struct {
	Species       string                      `json:"species"`
	Title         string                      `json:"title"`
	Doubt         *suitability.CompanionEntry `json:"doubt"`
	Extrapolation *suitability.CompanionEntry `json:"extrapolation"`
}

func (a *app) doubt(ctx context.Context, o doubtOptions, opened *project.Opened, p *suitability.Plan) error {
	d := evidence.DefaultDoubt(o.draws, o.seed)
	if err := d.Check(); err != nil {
		return usage(err, "--draws is 10 to 10000")
	}
	subjects, err := pick(p.Job().Subjects, o.species)
	if err != nil {
		return err
	}
	cleaning, err := opened.Cleaning(ctx)
	if err != nil {
		return err
	}
	result := doubtResult{Audience: p.Audience, Draws: d.Draws, Seed: d.Seed}
	var plans [][2]*suitability.CompanionPlan
	for _, s := range subjects {
		places := evidence.AcceptedPlaces(cleaning, project.RecordName(s.Profile))
		pair, err := doubtPlans(p, s, d, places)
		switch {
		case errors.Is(err, suitability.ErrWithheld):
			result.Withheld = append(result.Withheld, s.Profile.ID)
		case err != nil:
			return fmt.Errorf("species %s: %w", s.Profile.ID, err)
		default:
			plans = append(plans, pair)
			result.Species = append(result.Species, speciesDoubt{Species: s.Profile.ID, Title: s.Profile.Title()})
		}
	}
	if o.dryRun {
		return a.sayDoubtPlan(p, plans)
	}
	options := suitability.RunOptions{Workers: o.workers, Progress: a.progress()}
	for i, pair := range plans {
		s := &result.Species[i]
		if s.Doubt, err = made(ctx, pair[0], options); err != nil {
			return resumable(err)
		}
		if s.Extrapolation, err = made(ctx, pair[1], options); err != nil {
			return resumable(err)
		}
	}
	path, err := writeDoubt(p.Job().Folder, result)
	if err != nil {
		return err
	}
	return a.say(result, func(w io.Writer) { printDoubts(w, result, path) })
}

func doubtPlans(p *suitability.Plan, s suitability.Subject, d evidence.Doubt, places []evidence.AcceptedPlace) (pair [2]*suitability.CompanionPlan, err error) {
	if pair[0], err = evidence.NewDoubt(p, s.Profile.ID, d, tiles.NewDoubtLook()); err != nil {
		return pair, err
	}
	pair[1], err = evidence.NewNovelty(p, s.Profile.ID, places, tiles.NewNoveltyLook())
	return pair, err
}

// made computes what is not there yet, and publishes it.
func made(ctx context.Context, q *suitability.CompanionPlan, o suitability.RunOptions) (*suitability.CompanionEntry, error) {
	if err := q.Run(ctx, o); err != nil {
		return nil, err
	}
	return q.Publish()
}

// doubtName is the file in an output folder that lists what doubt has made last.
const doubtName = "doubt.json"

func writeDoubt(folder string, r doubtResult) (string, error) {
	text, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return "", err
	}
	text = append(text, '\n')
	path := filepath.Join(folder, doubtName)
	if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, text) {
		return path, nil
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return "", err
	}
	return path, layers.Publish(path, func(w io.Writer) error { _, err := w.Write(text); return err })
}

// doubtTask is one set of rasters that would be made.
type doubtTask struct {
	Species string `json:"species"`
	What    string `json:"what"`
	Key     string `json:"key"`
	Done    bool   `json:"done"`
}

func (a *app) sayDoubtPlan(p *suitability.Plan, plans [][2]*suitability.CompanionPlan) error {
	var tasks []doubtTask
	for _, pair := range plans {
		for i, what := range []string{"doubt", "extrapolation"} {
			t := pair[i].Task
			tasks = append(tasks, doubtTask{t.Species, what, t.Key, t.Done})
		}
	}
	return a.say(tasks, func(w io.Writer) {
		fmt.Fprintf(w, "%s of %d by %d cells, for the %s audience\n", counted(p.Cols*p.Rows, "block"), p.Block, p.Block, p.Audience)
		for _, t := range tasks {
			state := "to be computed"
			if t.Done {
				state = "already there"
			}
			fmt.Fprintf(w, "  %-24s %-14s %s  %s\n", t.Species, t.What, t.Key[:12], state)
		}
	})
}
