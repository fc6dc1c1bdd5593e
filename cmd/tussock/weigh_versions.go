package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tussock/suitability/project"
)

func (a *app) weighUndoCommand() *cobra.Command {
	var o weighOptions
	c := &cobra.Command{
		Use:   "undo SPECIES",
		Short: "Go back to the version before, as a new version",
		Long: `Gives a profile's file the text that it had before the present version, byte for
byte. The step is a version of its own, with its entry in the log, and no text is
lost: a second step goes one further back, and --to goes to any version. What was
changed by hand since the last version is kept as a version first.
` + exitHelp,
		Example: "  tussock weigh undo adder\n  tussock weigh undo adder --to 2 --reason 'the workshop was right'",
		Args:    cobra.ExactArgs(1),
		RunE:    func(c *cobra.Command, args []string) error { return a.weighUndo(args[0], o) },
	}
	c.Flags().IntVar(&o.to, "to", 0, "the `number` of the version to go to; 0 is the one before the present text's")
	o.versionFlags(c, "nobody is named")
	c.ValidArgsFunction = a.speciesOf
	return c
}

func (a *app) weighUndo(species string, o weighOptions) error {
	if o.to < 0 {
		return usage(fmt.Errorf("--to %d is no version", o.to), "versions count from 1")
	}
	f, err := project.ProfileOf(a.project, species)
	if err != nil {
		return err
	}
	c, err := a.change(o)
	if err != nil {
		return err
	}
	revision, err := f.RollBack(o.to, c)
	result, err := written(species, f, revision, err, o.dryRun)
	if err != nil {
		return err
	}
	return a.say(result, result.print)
}

func (a *app) weighVersionsCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "versions SPECIES",
		Short: "List the versions of a profile: when, who and why",
		Long: `Lists the versions of a species' profile from its log, oldest first. The text of
each lies beside the profile's file. Writes nothing.
` + exitHelp,
		Example: "  tussock weigh versions adder",
		Args:    cobra.ExactArgs(1),
		RunE:    func(c *cobra.Command, args []string) error { return a.weighVersions(args[0]) },
	}
	c.ValidArgsFunction = a.speciesOf
	return c
}

type loggedResult struct {
	Version  int    `json:"version"`
	Date     string `json:"date,omitempty"`
	Who      string `json:"who,omitempty"`
	Reason   string `json:"reason"`
	Evidence string `json:"evidence,omitempty"`
	Restores int    `json:"restores,omitempty"`
	SHA256   string `json:"sha256"`
	File     string `json:"file"`
}

func (a *app) weighVersions(species string) error {
	f, err := project.ProfileOf(a.project, species)
	if err != nil {
		return err
	}
	versions, err := f.Versions()
	if err != nil {
		return err
	}
	results := []loggedResult{}
	for _, v := range versions {
		r := loggedResult{Version: v.Number, Who: v.Who, Reason: v.Reason, Evidence: v.Evidence, Restores: v.Restores, SHA256: v.After, File: v.File}
		if !v.Date.IsZero() {
			r.Date = v.Date.Format(time.DateOnly)
		}
		results = append(results, r)
	}
	return a.say(results, func(w io.Writer) { printLoggedVersions(w, f.Path, results) })
}

func printLoggedVersions(w io.Writer, path string, versions []loggedResult) {
	if len(versions) == 0 {
		fmt.Fprintf(w, "%s has one version only: nothing was accepted yet\n", path)
	}
	for _, v := range versions {
		fmt.Fprintf(w, "%3d  %-10s  %s", v.Version, v.Date, v.Reason)
		if v.Who != "" {
			fmt.Fprintf(w, " (%s)", v.Who)
		}
		fmt.Fprintln(w)
		if v.Evidence != "" {
			fmt.Fprintf(w, "                 %s\n", v.Evidence)
		}
	}
}

// written writes a version that was prepared, unless it is only tried.
func written(species string, f *project.ProfileFile, r *project.Revision, err error, dryRun bool) (*versionResult, error) {
	if err == nil && !dryRun {
		err = r.Write()
	}
	switch {
	case errors.Is(err, project.ErrFileChanged):
		return nil, &codedError{exitFailed, err, "run the command again to start from what stands there now"}
	case errors.Is(err, project.ErrNothingEarlier):
		return nil, &codedError{exitFailed, err, fmt.Sprintf("`tussock weigh versions %s` lists what there is", species)}
	case err != nil:
		return nil, err
	}
	return &versionResult{Species: species, File: f.Path, Version: r.Version.Number, Replaces: r.Replaces, Restores: r.Version.Restores, Files: r.Files(), Written: !dryRun}, nil
}

// versionResult is a version that was written, or would be.
type versionResult struct {
	Species  string   `json:"species"`
	File     string   `json:"file"`
	Version  int      `json:"version,omitempty"`
	Replaces int      `json:"replaces,omitempty"` // the version before
	Restores int      `json:"restores,omitempty"`
	Files    []string `json:"files,omitempty"`
	Written  bool     `json:"written"`
	Same     bool     `json:"same,omitempty"` // nothing would change
}

func (r *versionResult) print(w io.Writer) {
	switch {
	case r.Same:
		fmt.Fprintf(w, "%s has these weights already; nothing was written\n", r.File)
		return
	case !r.Written:
		fmt.Fprintf(w, "would write version %d of %s:\n  %s\n", r.Version, r.File, strings.Join(r.Files, "\n  "))
		return
	case r.Restores > 0:
		fmt.Fprintf(w, "%s is back at the text of version %d; this is version %d\n", r.File, r.Restores, r.Version)
		fmt.Fprintf(w, "`tussock weigh undo %s --to %d` takes that back\n", r.Species, r.Replaces)
	default:
		fmt.Fprintf(w, "accepted: %s is now version %d\n", r.File, r.Version)
		fmt.Fprintf(w, "`tussock weigh undo %s` takes it back\n", r.Species)
	}
}
