package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

type referenceOptions struct {
	format string
	force  bool
	dryRun bool
}

// referenceCommand writes the reference from the commands themselves, so that it
// cannot drift from them.
func (a *app) referenceCommand() *cobra.Command {
	var o referenceOptions
	c := &cobra.Command{
		Use:   "reference FOLDER",
		Short: "Write this reference as man pages or Markdown",
		Long: `Writes one page for each command into a folder, made from the commands themselves.
Pages that are there are kept unless --force is given.
` + exitHelp,
		Example: "  tussock reference man\n  tussock reference --format markdown docs",
		Args:    cobra.ExactArgs(1),
		RunE:    func(c *cobra.Command, args []string) error { return a.reference(c.Root(), o, args[0]) },
	}
	f := c.Flags()
	f.StringVar(&o.format, "format", "man", "`form` of the pages: man or markdown")
	f.BoolVar(&o.force, "force", false, "take the place of pages that are there")
	f.BoolVar(&o.dryRun, "dry-run", false, "say which pages would be written, and write nothing")
	c.RegisterFlagCompletionFunc("format", oneOf([]string{"man", "markdown"}))
	return c
}

func (a *app) reference(root *cobra.Command, o referenceOptions, folder string) error {
	if o.format != "man" && o.format != "markdown" {
		return usage(fmt.Errorf("%q is no format of the reference", o.format), "use man or markdown")
	}
	var pages []string
	for _, name := range pageNames(root, o.format) {
		path := filepath.Join(folder, name)
		if _, err := os.Stat(path); err == nil && !o.force && !o.dryRun {
			return existing(fmt.Errorf("%s exists", path), "give --force to write over it")
		}
		pages = append(pages, path)
	}
	if !o.dryRun {
		if err := writePages(root, o.format, folder); err != nil {
			return err
		}
	}
	return a.say(map[string]any{"pages": pages, "written": !o.dryRun}, func(w io.Writer) {
		fmt.Fprintln(w, strings.Join(pages, "\n"))
	})
}

// pageNames are the files that cobra writes a page for each command to.
func pageNames(c *cobra.Command, format string) []string {
	name := strings.ReplaceAll(c.CommandPath(), " ", "_") + ".md"
	if format == "man" {
		name = strings.ReplaceAll(c.CommandPath(), " ", "-") + ".1"
	}
	names := []string{name}
	for _, below := range c.Commands() {
		if below.IsAvailableCommand() && !below.IsAdditionalHelpTopicCommand() {
			names = append(names, pageNames(below, format)...)
		}
	}
	return names
}

func writePages(root *cobra.Command, format, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	root.DisableAutoGenTag = true
	if format == "man" {
		return doc.GenManTree(root, &doc.GenManHeader{Title: "TUSSOCK", Section: "1", Source: "tussock"}, folder)
	}
	return doc.GenMarkdownTree(root, folder)
}
