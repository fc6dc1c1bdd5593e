package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tussock/layers"
)

// noSuchCommand refuses a first word that is no command, and says which one may
// be meant.
func noSuchCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := fmt.Sprintf("`%s --help` lists the commands", c.CommandPath())
	var names []string
	for _, below := range c.Commands() {
		names = append(names, below.Name())
	}
	if near := layers.Closest(args[0], names); near != "" {
		hint = fmt.Sprintf("did you mean `%s %s`?", c.CommandPath(), near)
	}
	return usage(fmt.Errorf("there is no command %q", args[0]), hint)
}

// usageOfArgs makes a wrong number of arguments, to a command or one below it,
// a mistake of usage.
func usageOfArgs(c *cobra.Command) {
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error {
			if check(c, args) == nil {
				return nil
			}
			if c.HasSubCommands() {
				return noSuchCommand(c, args)
			}
			return usage(fmt.Errorf("wrong arguments: %q", strings.Join(args, " ")), "use it as `"+c.UseLine()+"`")
		}
	}
	for _, below := range c.Commands() {
		usageOfArgs(below)
	}
}
