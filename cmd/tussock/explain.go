package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability"
)

type explainOptions struct {
	species []string
	lonlat  bool
}

func (a *app) explainCommand() *cobra.Command {
	var o explainOptions
	c := &cobra.Command{
		Use:   "explain X Y",
		Short: "Say why a cell shows what it shows: every measure, rating and factor",
		Long: `Evaluates the cell at a place from the layers, step by step, for each species:
measures, ratings, requisites, multipliers, exclusions, documented range and
factors. X and Y are in the project's CRS, or longitude and latitude (WGS 84) with
--lonlat. Species that the audience may not see in such detail are left out, and
the exit status is then 3. Writes nothing.
` + exitHelp,
		Example: "  tussock explain --audience staff 625500 1011250\n  tussock explain --audience staff --lonlat -- -79.857 9.147",
		Args:    cobra.ExactArgs(2),
		RunE:    func(c *cobra.Command, args []string) error { return a.explain(c.Context(), o, args) },
	}
	a.speciesFlag(c, &o.species)
	c.Flags().BoolVar(&o.lonlat, "lonlat", false, "X and Y are longitude and latitude in degrees")
	return c
}

func (a *app) explain(ctx context.Context, o explainOptions, args []string) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	p, err := place(args)
	if err != nil {
		return err
	}
	project, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer project.Close()
	job, err := newJob(project, audience, "")
	if err != nil {
		return err
	}
	if o.lonlat {
		if p, err = onGrid(job.Grid, p); err != nil {
			return err
		}
	}
	cells, withheld, err := explainAll(job, o.species, p)
	if err != nil {
		return err
	}
	if err := a.say(explainJSON(cells, withheld), func(w io.Writer) { printCells(w, job, cells) }); err != nil {
		return err
	}
	if withheld > 0 {
		return withheldFrom(audience.String(), withheld)
	}
	return nil
}

// place reads two coordinates; a decimal comma gets a hint.
func place(args []string) (orb.Point, error) {
	var p orb.Point
	for i, text := range args {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return p, usage(fmt.Errorf("%q is no coordinate", text), "write a decimal point, not a comma: 625500.5")
		}
		p[i] = v
	}
	return p, nil
}

func onGrid(g layers.Grid, lonlat orb.Point) (orb.Point, error) {
	if math.Abs(lonlat[0]) > 180 || math.Abs(lonlat[1]) > 90 {
		return lonlat, usage(fmt.Errorf("%g %g is no longitude and latitude", lonlat[0], lonlat[1]), "longitude comes first; leave --lonlat out for coordinates of the project")
	}
	t, err := layers.NewTransform(layers.WGS84(), g.CRS)
	if err != nil {
		return lonlat, err
	}
	defer t.Close()
	xs, ys := []float64{lonlat[0]}, []float64{lonlat[1]}
	err = t.Points(xs, ys)
	return orb.Point{xs[0], ys[0]}, err
}

func explainAll(job *suitability.Job, wanted []string, p orb.Point) (cells []*suitability.CellExplanation, withheld int, err error) {
	subjects, err := pick(job.Subjects, wanted)
	if err != nil {
		return nil, 0, err
	}
	for _, s := range subjects {
		if !job.MayExplain(s) {
			withheld++
			continue
		}
		x, err := job.ExplainCell(s, p)
		if err != nil {
			return nil, 0, &codedError{exitUsage, err, "the grid is " + describeGrid(job.Grid)}
		}
		cells = append(cells, x)
	}
	return cells, withheld, nil
}

// pick keeps the species that were asked for.
func pick(all []suitability.Subject, wanted []string) ([]suitability.Subject, error) {
	if len(wanted) == 0 {
		return all, nil
	}
	var known []string
	byID := map[string]suitability.Subject{}
	for _, s := range all {
		known = append(known, s.Profile.ID)
		byID[s.Profile.ID] = s
	}
	var picked []suitability.Subject
	for _, id := range wanted {
		s, ok := byID[id]
		if !ok {
			return nil, unknownSpecies("the project has no species %q", id, known)
		}
		picked = append(picked, s)
	}
	return picked, nil
}
