package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability"
	"tussock/tiles/sheet"
)

type pictureOptions struct {
	out     string
	species []string
	width   int
	grey    bool
	dryRun  bool
}

func (a *app) pictureCommand() *cobra.Command {
	var o pictureOptions
	c := &cobra.Command{
		Use:   "picture",
		Short: "Draw finished pictures of the maps that are there",
		Long: `Reads the published maps of an audience and draws one picture (PNG) for each
species, to be put into a report or on a page: the map in the project's own grid,
with what the project file's section picture draws over it (water, roads, railway),
places by name, legend, scale bar, north, cautions, versions and licences. Cells
are shown as they are. It reads nothing but the maps of that audience, the layers
that are drawn, the places and the wording, and never shows a record.

A picture is made for paper as wide as A4. Its name carries everything that it is
made from: pictures never change, and those that are there are kept. They stand in
the folder pictures beside the maps. A species that is withheld from the audience
has none; the exit status is then 3.
` + exitHelp,
		Example: "  tussock picture\n  tussock picture --species beilschmiedia --width 1200 --grey",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.pictures(c.Context(), o) },
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the output `folder`, in place of the project file's")
	a.speciesFlag(c, &o.species)
	f.IntVar(&o.width, "width", 0, fmt.Sprintf("width in `pixels`, %d to %d (default: the project file's, else %d)", sheet.MinWidth, sheet.MaxWidth, sheet.DefaultWidth))
	f.BoolVar(&o.grey, "grey", false, "in shades of grey, as a photocopier shows it")
	f.BoolVar(&o.dryRun, "dry-run", false, "say which pictures would be drawn, and write nothing")
	return c
}

// pictureResult is what was drawn. Files are relative to the folder.
type pictureResult struct {
	Folder   string   `json:"folder"`
	Audience string   `json:"audience"`
	Made     []string `json:"made"`
	Kept     []string `json:"kept"`
	Withheld []string `json:"withheld"`
}

func (a *app) pictures(ctx context.Context, o pictureOptions) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	if err := o.validate(); err != nil {
		return err
	}
	p, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer p.Close()
	folder := folderFor(outputOf(p.Project, o.out), audience)
	c, err := suitability.ReadCatalogue(folder)
	if err != nil {
		return &codedError{exitInput, err, "run `tussock map` for this audience first"}
	}
	chosen, withheld, err := o.choose(p, c)
	if err != nil {
		return err
	}
	ground, err := readGround(ctx, p)
	if err != nil {
		return err
	}
	studio := studio{project: p, catalogue: c, folder: folder, audience: audience, ground: ground, options: o}
	made, err := a.drawAll(ctx, studio, chosen)
	made.Withheld = append(made.Withheld, withheld...)
	if err != nil {
		return err
	}
	if err := a.say(made, func(w io.Writer) { made.words(w, o.dryRun) }); err != nil {
		return err
	}
	if len(withheld) > 0 {
		return &codedError{exitDegraded, fmt.Errorf("no picture of %s: withheld from the %s audience", list(withheld), audience), "staff may draw it with --audience staff"}
	}
	return nil
}

func (a *app) drawAll(ctx context.Context, s studio, chosen []suitability.CatalogueEntry) (pictureResult, error) {
	made := pictureResult{Folder: filepath.Join(s.folder, "pictures"), Audience: s.audience.String(), Made: []string{}, Kept: []string{}, Withheld: []string{}}
	if !s.options.dryRun {
		if err := os.MkdirAll(made.Folder, 0o755); err != nil {
			return made, err
		}
	}
	report := a.progress()
	for i, e := range chosen {
		if err := ctx.Err(); err != nil {
			return made, resumable(err)
		}
		if err := a.drawOne(s, e, &made); err != nil {
			return made, fmt.Errorf("picture of %s: %w", e.ID, err)
		}
		if report != nil {
			report(suitability.Progress{Stage: "pictures", Done: i + 1, Total: len(chosen)})
		}
	}
	return made, nil
}

// drawOne draws the picture of a species unless it is there.
func (a *app) drawOne(s studio, e suitability.CatalogueEntry, made *pictureResult) (err error) {
	picture, close, err := s.picture(e)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, close()) }()
	name := s.name(e, picture)
	path := filepath.Join(made.Folder, name)
	if _, err := os.Lstat(path); err == nil {
		made.Kept = append(made.Kept, name)
		return nil
	}
	made.Made = append(made.Made, name)
	if s.options.dryRun {
		return nil
	}
	a.warnUnwritable(picture)
	return layers.Publish(path, picture.Write)
}

// warnUnwritable names the signs that the pictures' typeface lacks.
func (a *app) warnUnwritable(p *sheet.Picture) {
	all := p.Words.Name + p.Words.Scientific + p.Words.Area + p.Words.Hazard + p.Words.FirstAid + strings.Join(p.Words.Cautions, "") + strings.Join(p.Words.Licences, "")
	for _, place := range p.Places {
		all += place.Name
	}
	if missing := sheet.Unwritable(all); len(missing) > 0 {
		fmt.Fprintf(a.err, "warning: the typeface of pictures has no sign for %q; a box stands there\n", string(missing))
	}
}

func (r pictureResult) words(w io.Writer, dryRun bool) {
	verb := "drawn"
	if dryRun {
		verb = "to be drawn"
	}
	fmt.Fprintf(w, "%s %s, %d already there, %d withheld: %s\n", counted(len(r.Made), "picture"), verb, len(r.Kept), len(r.Withheld), r.Folder)
}
