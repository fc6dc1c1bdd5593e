package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability"
	"tussock/suitability/project"
	"tussock/tiles"
)

type tileOptions struct {
	out     string
	formats []string
	size    int
	min     int
	max     int
	address string
	workers int
	smooth  bool
	dryRun  bool
}

func (a *app) tilesCommand() *cobra.Command {
	var o tileOptions
	c := &cobra.Command{
		Use:   "tiles",
		Short: "Make map tiles from the maps that are there",
		Long: `Reads the published maps of an audience and makes Web Mercator tiles
(OGC WebMercatorQuad) of each species' class and standing, and of the number of
species: as a folder, PMTiles v3 or MBTiles 1.3, each with a legend as PNG and
JSON, and a TileJSON where an address is given. Tiles that are there already are
kept.
` + exitHelp,
		Example: "  tussock tiles --format pmtiles --max-zoom 14\n  tussock tiles --format folder --address 'https://maps.example.org/tiles/{name}/{z}/{x}/{y}.png'",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.tiles(c.Context(), o) },
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the output `folder`, in place of the project file's")
	f.StringSliceVar(&o.formats, "format", nil, "folder, pmtiles or mbtiles; several with commas (default: the project file's, else pmtiles)")
	f.IntVar(&o.size, "size", 0, "side of a tile in `pixels`, 256 or 512 (default: the project file's, else 256)")
	f.IntVar(&o.min, "min-zoom", -1, "least `zoom` (default: the project file's, else 0)")
	f.IntVar(&o.max, "max-zoom", -1, "greatest `zoom` (default: the project file's, else that of the cells)")
	f.StringVar(&o.address, "address", "", "`URL` with {name}, {z}, {x} and {y} under which the tiles will be handed out (default: the project file's)")
	f.BoolVar(&o.smooth, "smooth", false, "show suitability in 201 shades instead of classes")
	f.BoolVar(&o.dryRun, "dry-run", false, "say which tiles would be made, and write nothing")
	c.RegisterFlagCompletionFunc("format", someOf(tiles.FormatNames()))
	f.IntVar(&o.workers, "workers", runtime.NumCPU(), "`tiles` worked on at a time; the result does not depend on it")
	return c
}

func (a *app) tiles(ctx context.Context, o tileOptions) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	if err := o.validate(); err != nil {
		return err
	}
	p, err := a.load()
	if err != nil {
		return err
	}
	if o.smooth && p.Output.Values != suitability.Bytes {
		return usage(errors.New("--smooth needs suitability in steps, and this project stores floats"), "write `values: bytes` under `output`, and run `tussock map` again")
	}
	options, err := o.complete(p, audience)
	if err != nil {
		return err
	}
	folder := folderFor(outputOf(p, o.out), audience)
	c, err := suitability.ReadCatalogue(folder)
	if err != nil {
		return &codedError{exitInput, err, "run `tussock map` for this audience first"}
	}
	target := filepath.Join(folder, "tiles")
	if !o.dryRun {
		if err := os.MkdirAll(target, 0o755); err != nil {
			return err
		}
	}
	made, err := a.tilesOfAll(ctx, folder, target, c, options, o)
	if err != nil {
		return err
	}
	return a.say(made, func(w io.Writer) {
		verb := "made"
		if o.dryRun {
			verb = "to be made"
		}
		fmt.Fprintf(w, "%s %s, %d already there, %d without anything to show: %s\n", counted(made.Made, "tile set"), verb, made.Kept, made.Empty, made.Folder)
	})
}

func (a *app) tilesOfAll(ctx context.Context, folder, target string, c *suitability.Catalogue, options tiles.Options, o tileOptions) (tileResult, error) {
	report := a.progress()
	made := tileResult{Folder: target, Audience: c.Audience}
	all := append(slices.Clone(c.Species), c.Count)
	for i, e := range all {
		if err := a.tilesOf(ctx, folder, target, c, e, options, o, &made); err != nil {
			return made, resumable(fmt.Errorf("tiles of %s: %w", e.ID, err))
		}
		if report != nil {
			report(suitability.Progress{Stage: "tiles", Done: i + 1, Total: len(all)})
		}
	}
	return made, nil
}

type tileResult struct {
	Folder   string `json:"folder"`
	Audience string `json:"audience"`
	Made     int    `json:"made"`
	Kept     int    `json:"kept"`
	Empty    int    `json:"empty"`
}

// tilesOf makes one species' tiles unless they are there.
func (a *app) tilesOf(ctx context.Context, folder, target string, c *suitability.Catalogue, e suitability.CatalogueEntry,
	options tiles.Options, o tileOptions, made *tileResult) error {
	s, err := surfaceFor(folder, c, e, o.smooth, &options)
	if err != nil {
		return err
	}
	defer s.Close()
	if allThere(target, s.About().ID, options) {
		made.Kept++
		return nil
	}
	if o.dryRun {
		made.Made++
		return nil
	}
	options.Replace = true // an earlier run may have been cut short between two files
	switch err := tiles.Build(ctx, s, options, target); {
	case errors.Is(err, tiles.ErrEmpty):
		made.Empty++
	case err != nil:
		return err
	default:
		made.Made++
	}
	return nil
}

// complete puts the project file's settings where no flag was given.
func (o tileOptions) complete(p *project.Project, audience layers.Audience) (tiles.Options, error) {
	options := tiles.Options{Audience: audience, Size: o.size, Workers: o.workers, Address: o.address}
	names := o.formats
	if names == nil {
		names = p.Output.TileFormats
	}
	if names == nil {
		names = []string{"pmtiles"}
	}
	for _, name := range names {
		format, err := tiles.ParseFormat(name)
		if err != nil {
			return options, usage(err, "for example --format pmtiles")
		}
		options.Formats = append(options.Formats, format)
	}
	if options.Size == 0 {
		options.Size = p.Output.TileSize
	}
	if options.Address == "" {
		options.Address = p.Output.TileAddress
	}
	if options.Address != "" && !strings.Contains(options.Address, "{name}") {
		return options, usage(fmt.Errorf("the tile address %q has no {name}, by which sets of tiles are told apart", options.Address),
			"write it like https://maps.example.org/tiles/{name}/{z}/{x}/{y}.png")
	}
	options.MinZoom = given(o.min, p.Output.MinZoom)
	options.MaxZoom = given(o.max, p.Output.MaxZoom)
	return options, nil
}

// validate checks what needs no project.
func (o tileOptions) validate() error {
	switch {
	case o.workers < 1:
		return usage(fmt.Errorf("%d workers cannot do the work", o.workers), "--workers is 1 or more")
	case o.size != 0 && o.size != 256 && o.size != 512:
		return usage(fmt.Errorf("there are no tiles of %d pixels", o.size), "--size is 256 or 512")
	case max(o.min, o.max) > tiles.MaxZoom:
		return usage(fmt.Errorf("zoom %d is too deep", max(o.min, o.max)), fmt.Sprintf("zooms are 0 to %d", tiles.MaxZoom))
	case o.max >= 0 && o.min > o.max:
		return usage(fmt.Errorf("the least zoom, %d, is beyond the greatest, %d", o.min, o.max), "swap --min-zoom and --max-zoom")
	}
	return nil
}

// given is a flag's zoom, else the project file's, else 0, which means the
// default.
func given(flag int, file *int) int {
	switch {
	case flag >= 0:
		return flag
	case file != nil:
		return *file
	}
	return 0
}
