package main

import (
	"github.com/spf13/cobra"

	"tussock/suitability/project"
)

func (a *app) schemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of tussock.yaml, for editors that complete it",
		Long: `Prints the JSON Schema (2020-12) of the project file, made from the same types
that read it. Editors with YAML support complete and check by it: save it in a
file and name that file to the editor.
` + exitHelp,
		Example: "  tussock schema",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			raw, err := project.Schema()
			if err != nil {
				return err
			}
			_, err = a.out.Write(raw)
			return err
		},
	}
}
