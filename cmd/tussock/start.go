package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability/project"
)

func (a *app) startCommand() *cobra.Command {
	var o startOptions
	c := &cobra.Command{
		Use:   "start [FOLDER]",
		Short: "Write a first tussock.yaml for a folder of files",
		Long: `Looks through a folder for rasters, vectors, ranges and Darwin Core tables, reads
their kinds and class names, and writes a commented tussock.yaml that passes
` + "`tussock check`" + `, with one example species whose values are marked "assumption".
An existing file is kept unless --force is given.
` + exitHelp,
		Example: "  tussock start data\n  tussock check --project data",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			folder := "."
			if len(args) == 1 {
				folder = args[0]
			}
			return a.start(folder, o)
		},
	}
	c.Flags().BoolVar(&o.force, "force", false, "take the place of an existing tussock.yaml")
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "print the project file, and write nothing")
	return c
}

type startOptions struct {
	force  bool
	dryRun bool
}

func (a *app) start(folder string, o startOptions) error {
	path := filepath.Join(folder, project.FileName)
	if _, err := os.Stat(path); err == nil && !o.force && !o.dryRun {
		return existing(fmt.Errorf("%s exists", path), "give --force to write over it")
	}
	text, err := project.Start(folder)
	if err != nil {
		hint := "start needs at least one raster or vector with a CRS"
		if errors.Is(err, fs.ErrNotExist) {
			hint = "name a folder that is there"
		}
		return &codedError{exitInput, err, hint}
	}
	if o.dryRun {
		return a.say(map[string]string{"project": path, "text": string(text)}, func(w io.Writer) { w.Write(text) })
	}
	if err := layers.Publish(path, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return err
	}
	return a.say(map[string]string{"project": path}, func(w io.Writer) {
		fmt.Fprintf(w, "wrote %s\nnext: read it, then `tussock check --project %s`\n", path, folder)
	})
}
