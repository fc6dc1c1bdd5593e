package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability"
	"tussock/tiles"
)

type compareOptions struct {
	species []string
	out     string
	dryRun  bool
}

func (a *app) compareCommand() *cobra.Command {
	var o compareOptions
	c := &cobra.Command{
		Use:   "compare OLD [NEW]",
		Short: "Say what changed between two versions of the maps, where, and why",
		Long: `Compares published maps of the same species, for the same audience and on the
same cells. OLD and NEW are each a folder of published maps (with a surfaces.json),
that surfaces.json, or the STAC item (JSON) of one species' map. Published maps
are never changed, so older ones stay beside the current: with one folder alone,
compare lists its versions, and any of their items can be OLD.

For each species it says how many hectares went from which class to which (areas
on the ellipsoid, not on the map), what appeared, vanished or could no longer be
assessed, the greatest rise and fall, and which of the things that the maps are
made from differ: layers, profile, records, range, other species, class breaks,
engine. Where several changed at once it does not guess which one did it; what an
older item does not record, it says.

With --out it also writes, for each species, a raster of new minus old suitability
in hundredths, rounded away from 0 so that only equal cells look equal, and one of
the change of class; and comparison.json. They show nothing finer than the maps
and are for the maps' own audience. Memory does not depend on the area.

The exit status is 7 where any cell differs or a species is on one side only, and
0 where all cells are the same.
` + exitHelp,
		Example: "  tussock compare out/staff\n  tussock compare before/staff out/staff --out changes\n" +
			"  tussock compare before/staff/surfaces.json out/staff --species beilschmiedia --json",
		Args: cobra.RangeArgs(1, 2),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 1 {
				return a.listVersions(o, args[0])
			}
			return a.compare(c.Context(), o, args[0], args[1])
		},
	}
	f := c.Flags()
	a.speciesFlag(c, &o.species)
	f.StringVar(&o.out, "out", "", "`folder` for rasters of what changed and for comparison.json (default: none are made)")
	f.BoolVar(&o.dryRun, "dry-run", false, "say which versions would be compared, and write nothing")
	return c
}

// compareResult is what compare says of all species. Paths are as they were
// asked for; comparison.json has none.
type compareResult struct {
	Old         string                    `json:"old,omitempty"`
	New         string                    `json:"new,omitempty"`
	Audience    string                    `json:"audience"`
	Areas       string                    `json:"areas"`
	Comparisons []*suitability.Comparison `json:"comparisons"`
	OnlyOld     []string                  `json:"only_in_old"`
	OnlyNew     []string                  `json:"only_in_new"`
}

func (a *app) compare(ctx context.Context, o compareOptions, oldPath, newPath string) error {
	pairs, result, err := a.pairsOf(o, oldPath, newPath)
	if err != nil {
		return err
	}
	if o.dryRun {
		return a.say(pairs, func(w io.Writer) { printPairs(w, pairs, o.out) })
	}
	if o.out != "" {
		if err := mayCompareInto(o.out, pairs); err != nil {
			return err
		}
	}
	report := a.progress()
	for i, p := range pairs {
		c, err := suitability.Compare(ctx, p.Old, p.New, suitability.ChangeRasters{Folder: o.out, Look: tiles.NewChangeLook(p.New.Classes())})
		switch {
		case errors.Is(err, context.Canceled):
			return &codedError{exitInterrupted, errors.New("interrupted"), "run the same command again"}
		case errors.Is(err, suitability.ErrNotComparable), errors.Is(err, suitability.ErrGrids):
			return usage(err, "")
		case err != nil:
			return fmt.Errorf("species %s: %w", p.New.Species, err)
		}
		result.Comparisons = append(result.Comparisons, c)
		if report != nil {
			report(suitability.Progress{Stage: "compare", Done: i + 1, Total: len(pairs)})
		}
	}
	if o.out != "" {
		if err := writeComparison(o.out, result); err != nil {
			return err
		}
	}
	result.Old, result.New = oldPath, newPath
	if err := a.say(result, func(w io.Writer) { printComparisons(w, result, o.out) }); err != nil {
		return err
	}
	return result.verdict()
}

// verdict is an error where anything differs.
func (r compareResult) verdict() error {
	differ := len(r.OnlyOld) + len(r.OnlyNew)
	for _, c := range r.Comparisons {
		if !c.Same {
			differ++
		}
	}
	if differ == 0 {
		return nil
	}
	return &codedError{exitDiffers, fmt.Errorf("the maps of %d species differ", differ), ""}
}

// comparisonOf is what of a comparison.json tells whose it is.
type comparisonOf struct {
	Comparisons []struct {
		Species  string
		Old, New suitability.Compared
	}
}

// mayCompareInto refuses a folder that holds another comparison: rasters would
// lie about that its comparison.json does not list.
func mayCompareInto(folder string, pairs []versionPair) error {
	path := suitability.ComparisonFile(folder)
	raw, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	var there comparisonOf
	same := err == nil && json.Unmarshal(raw, &there) == nil && len(there.Comparisons) == len(pairs)
	for i := 0; same && i < len(pairs); i++ {
		c, p := there.Comparisons[i], pairs[i]
		same = c.Species == p.New.Species && c.Old.Version == p.Old.Version && c.New.Version == p.New.Version
	}
	if !same {
		return existing(fmt.Errorf("%s is there, and compares other versions", path), "name another folder with --out, or remove that one")
	}
	return nil
}

func writeComparison(folder string, r compareResult) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	text, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return err
	}
	text = append(text, '\n')
	path := suitability.ComparisonFile(folder)
	if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, text) {
		return nil
	}
	return layers.Publish(path, func(w io.Writer) error { _, err := w.Write(text); return err })
}
