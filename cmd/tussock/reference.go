package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// referenceCommand writes the reference from the commands themselves, so that it
// cannot drift from them.
func (a *app) referenceCommand() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "reference FOLDER",
		Short: "Write this reference as man pages or Markdown",
		Long:  "Writes one page for each command into a folder.\n" + exitHelp,
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return err
			}
			root := c.Root()
			root.DisableAutoGenTag = true
			switch format {
			case "man":
				return doc.GenManTree(root, &doc.GenManHeader{Title: "TUSSOCK", Section: "1", Source: "tussock"}, args[0])
			case "markdown":
				return doc.GenMarkdownTree(root, args[0])
			}
			return usage(fmt.Errorf("%q is no format of the reference", format), "use man or markdown")
		},
	}
	c.Flags().StringVar(&format, "format", "man", "man or markdown")
	return c
}
