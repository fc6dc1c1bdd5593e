package main

import (
	"strings"

	"github.com/spf13/cobra"

	"tussock/suitability/project"
)

// completion proposes values of a flag to a shell.
type completion = func(c *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective)

// oneOf completes a value from a fixed list.
func oneOf(values []string) completion {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return values, cobra.ShellCompDirectiveNoFileComp
	}
}

// someOf completes the last of several values between commas.
func someOf(values []string) completion {
	return func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
		before := begun[:strings.LastIndex(begun, ",")+1]
		var proposed []string
		for _, v := range values {
			proposed = append(proposed, before+v)
		}
		return proposed, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	}
}

// speciesFlag is the same for every command that can do with some of the species.
func (a *app) speciesFlag(c *cobra.Command, into *[]string) {
	c.Flags().StringSliceVar(into, "species", nil, "only these species, by `id`; several with commas")
	c.RegisterFlagCompletionFunc("species", a.speciesOf)
}

// speciesOf completes with the project's own species. A project file with
// mistakes completes nothing.
func (a *app) speciesOf(c *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
	o, err := project.Open(c.Context(), a.project)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	defer o.Close()
	var ids []string
	for _, s := range o.Subjects {
		ids = append(ids, s.Profile.ID)
	}
	return someOf(ids)(c, args, begun)
}
