package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/suitability/project"
)

// app is what every command shares: where to write, and the flags that mean the
// same everywhere.
type app struct {
	out, err io.Writer
	project  string
	audience string
	json     bool
	quiet    bool
}

// run builds the commands, executes one, and turns its error into an exit code.
func run(args []string, out, errOut io.Writer) int {
	a := &app{out: out, err: errOut}
	root := a.rootCommand()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errOut)
	ctx, stop := interruptible()
	defer stop()
	if err := root.ExecuteContext(ctx); err != nil {
		a.report(err)
		return codeOf(err)
	}
	return exitDone
}

func (a *app) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "tussock",
		Short: "Map where look-alike animals could live, and plan where to look",
		Long: `Tussock combines layers (land cover, wetlands, rock barrens, roads) and what is
known of a species into maps of suitable habitat, clips them to the documented
range, and makes map tiles from them. A project is one folder with a tussock.yaml.

A map says that a place looks right, never that an animal is there, and never
that it is not. It is a desk study: it replaces no survey by a qualified (and,
where the law asks, licensed) person; local codes and permits decide.
` + exitHelp,
		SilenceUsage:  true,
		SilenceErrors: true,
		Version:       fmt.Sprintf("%s, GDAL %s", version(), layers.GDALVersion()),
	}
	flags := root.PersistentFlags()
	flags.StringVarP(&a.project, "project", "p", "tussock.yaml", "the project `file`, or the folder that holds a tussock.yaml")
	flags.StringVar(&a.audience, "audience", "", "who the output is for: public, volunteer, partner or staff")
	flags.BoolVar(&a.json, "json", false, "print the result as JSON (JSON lines for long work, failures as JSON on stderr)")
	flags.BoolVarP(&a.quiet, "quiet", "q", false, "no progress on stderr")
	root.RegisterFlagCompletionFunc("audience", oneOf(layers.AudienceNames()))
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage(err, fmt.Sprintf("`%s --help` lists the flags", c.CommandPath()))
	})
	root.Args = noSuchCommand
	root.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
	root.AddCommand(a.startCommand(), a.checkCommand(), a.recordsCommand(), a.mapCommand(), a.tilesCommand(), a.pictureCommand(), a.buildCommand(), a.explainCommand(), a.compareCommand(), a.rangesCommand(), a.assessCommand(), a.doubtCommand(), a.weighCommand(), a.schemaCommand(), a.referenceCommand())
	for _, c := range root.Commands() {
		usageOfArgs(c)
	}
	return root
}

// version is the module's version as the Go tool recorded it at build time.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unversioned"
}

// theAudience reads --audience; byDefault stands where the flag was not given.
func (a *app) theAudience(byDefault layers.Audience) (layers.Audience, error) {
	if a.audience == "" {
		return byDefault, nil
	}
	audience, err := layers.ParseAudience(a.audience)
	if err != nil {
		return 0, usage(err, "for example --audience staff")
	}
	return audience, nil
}

// report prints an error once: as words with a hint, or as one JSON object.
func (a *app) report(err error) {
	if a.json {
		text, hint := wordsOf(err)
		failure := map[string]any{"error": text, "exit": codeOf(err)}
		if hint != "" {
			failure["hint"] = hint
		}
		var problems project.Problems
		if errors.As(err, &problems) {
			failure["problems"] = problems
		}
		json.NewEncoder(a.err).Encode(failure)
		return
	}
	text, hint := wordsOf(err)
	fmt.Fprintf(a.err, "tussock: %s\n", text)
	if hint != "" {
		fmt.Fprintf(a.err, "hint: %s\n", hint)
	}
}

// say prints one result: as JSON, or by the words function.
func (a *app) say(result any, words func(w io.Writer)) error {
	if a.json {
		return json.NewEncoder(a.out).Encode(result)
	}
	words(a.out)
	return nil
}
