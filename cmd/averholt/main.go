// Command averholt writes an invented district to try Tussock on.
package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"tussock/cmd/averholt/district"
)

// defaultSeed makes the district that the documentation shows.
const defaultSeed = 5603

func main() {
	if err := command().Execute(); err != nil {
		fmt.Fprintln(os.Stderr, "averholt:", err)
		os.Exit(1)
	}
}

func command() *cobra.Command {
	seed := uint64(defaultSeed)
	c := &cobra.Command{
		Use:   "averholt FOLDER",
		Short: "Write an invented district as a project folder",
		Long: `Write the district of Averholt, 24 by 18 km, as a project folder: ground,
ranges, records with mistakes planted in them, visits, parcels, sites,
volunteers, ten species profiles and a project file.

All of it is invented. The district lies in open sea, around 56.0° N 3.0° E, so
that no real land is meant; its towns, animals and people exist nowhere.

The folder truth/ holds what is really there: where each species lives, and
which record carries which mistake. It is for judging maps by. A project must
never use it.

FOLDER is created. It may be empty or hold an older district, whose files are
replaced if nobody has changed them; any other file is left alone. The same seed
gives the same bytes.

Exit status: 0 done, 1 failed; nothing was replaced where a file of yours stood
in the way.`,
		Example:       "  averholt build/averholt\n  tussock check --project build/averholt",
		Args:          cobra.ExactArgs(1),
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE: func(_ *cobra.Command, args []string) error {
			return district.Write(args[0], seed)
		},
	}
	c.Flags().Uint64Var(&seed, "seed", seed, "which district: the same number gives the same district")
	return c
}
