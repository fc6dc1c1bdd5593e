package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

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
		Example: "  tussock tiles --format pmtiles --max-zoom 14\n  tussock tiles --format folder --address 'https://maps.example.org/tiles/{z}/{x}/{y}.png'",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.tiles(c.Context(), o) },
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the output `folder`, in place of the project file's")
	f.StringSliceVar(&o.formats, "format", nil, "folder, pmtiles or mbtiles; several with commas (default: the project file's, else pmtiles)")
	f.IntVar(&o.size, "size", 0, "side of a tile in `pixels`, 256 or 512 (default: the project file's, else 256)")
	f.IntVar(&o.min, "min-zoom", -1, "least `zoom` (default: the project file's, else 0)")
	f.IntVar(&o.max, "max-zoom", -1, "greatest `zoom` (default: the project file's, else that of the cells)")
	f.StringVar(&o.address, "address", "", "`URL` with {z}, {x} and {y} under which the tiles will be handed out")
	f.BoolVar(&o.smooth, "smooth", false, "show suitability in 201 shades instead of classes")
	f.IntVar(&o.workers, "workers", runtime.NumCPU(), "`tiles` worked on at a time; the result does not depend on it")
	return c
}

func (a *app) tiles(ctx context.Context, o tileOptions) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	p, err := project.Load(a.project)
	if err != nil {
		return err
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
	if err := os.MkdirAll(target, 0o755); err != nil {
		return err
	}
	report := a.progress()
	made := tileResult{Folder: target, Audience: audience.String()}
	for i, e := range append(c.Species, c.Count) {
		if err := a.tilesOf(ctx, folder, target, c, e, options, o.smooth, &made); err != nil {
			return fmt.Errorf("tiles of %s: %w", e.ID, err)
		}
		if report != nil {
			report(suitability.Progress{Stage: "tiles", Done: i + 1, Total: len(c.Species) + 1})
		}
	}
	return a.say(made, func(w io.Writer) {
		fmt.Fprintf(w, "%d tile sets made, %d already there, %d without anything to show: %s\n", made.Made, made.Kept, made.Empty, made.Folder)
	})
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
	o tiles.Options, smooth bool, made *tileResult) error {
	s, err := surfaceFor(folder, c, e, smooth, &o)
	if err != nil {
		return err
	}
	defer s.Close()
	switch err := tiles.Build(ctx, s, o, target); {
	case errors.Is(err, fs.ErrExist):
		made.Kept++
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
	options.MinZoom = given(o.min, p.Output.MinZoom)
	options.MaxZoom = given(o.max, p.Output.MaxZoom)
	return options, nil
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
