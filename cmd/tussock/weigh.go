package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tussock/suitability/evidence"
	"tussock/suitability/project"
)

// weighOptions are what a new version of a profile is written with.
type weighOptions struct {
	accept      bool
	dryRun      bool
	to          int
	reason, who string
	date        string
}

func (o *weighOptions) validate() error {
	switch {
	case o.accept && strings.TrimSpace(o.reason) == "":
		return usage(errors.New("--accept needs a reason"), "for example --reason 'workshop of May'")
	case !o.accept && (o.dryRun || o.reason != "" || o.who != "" || o.date != ""):
		return usage(errors.New("--reason, --who, --date and --dry-run go with --accept"), "without --accept nothing is written")
	}
	return nil
}

func (a *app) weighCommand() *cobra.Command {
	var o weighOptions
	c := &cobra.Command{
		Use:   "weigh FILE",
		Short: "Turn experts' judgements into weights, with their spread and their consistency",
		Long: `Reads a YAML file of judgements on the weights of one list of a profile, the
requisites of a species or the criteria of one requisite, and prints the weights
that follow beside those of the profile. Three ways to ask are known:

  pairwise   how many times as much does one item count as another, 1/9 to 9.
             Weights are the principal eigenvector (Saaty 1980). Above a
             consistency ratio of 0.10 a warning names the three comparisons that
             agree least, and the one to look at again.
  intervals  lowest, highest and best guess, and how sure (50 to 100 per cent).
             Intervals are rescaled to 80 %, and put together with every expert
             counting the same, so that disagreement stays as doubt.
  direct     a weight for each item, in any unit.

Consistency is not correctness: answers that agree with one another can all be
wrong. Experts need a code, not a name. The file looks like this:

  species: adder
  of: requisites              # or the id of the requisite whose criteria are meant
  kind: pairwise
  date: 2026-05-20
  evidence: what the experts had before them
  experts:
    - code: A
      pairwise:               # bank counts 3 times as much as damp, 5 times as cover
        bank: {damp: 3, cover: 5}
        damp: {cover: 3}
    # kind intervals:  intervals: {bank: {lowest: 30, highest: 60, best: 45, confidence: 80}, …}
    # kind direct:     direct: {bank: 50, damp: 30, cover: 20}

Nothing is written without --accept, which changes the weights in the profile's
file and nothing else there. The text before stays beside it, as a numbered
version with a log of when, who and why; ` + "`tussock weigh undo`" + ` goes one step back.
` + exitHelp,
		Example: "  tussock weigh judgements.yaml\n  tussock weigh judgements.yaml --accept --reason 'workshop of May' --dry-run\n  tussock weigh judgements.yaml --accept --reason 'workshop of May'\n  tussock weigh versions adder\n  tussock weigh undo adder",
		Args:    cobra.ArbitraryArgs, // a file's name may be anything that is no command below
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage(fmt.Errorf("one file of judgements is needed, not %d", len(args)), "use it as `tussock weigh FILE`; `tussock weigh --help` shows what it looks like")
			}
			return a.weigh(args[0], o)
		},
	}
	c.Flags().BoolVar(&o.accept, "accept", false, "write the weights into the profile's file, as a new version (needs --reason)")
	o.versionFlags(c, "the codes of the experts")
	c.AddCommand(a.weighUndoCommand(), a.weighVersionsCommand())
	return c
}

// versionFlags are the flags of all that writes a version.
func (o *weighOptions) versionFlags(c *cobra.Command, who string) {
	f := c.Flags()
	f.StringVar(&o.reason, "reason", "", "why, in a `sentence`, for the log")
	f.StringVar(&o.who, "who", "", "who accepts it, in `codes`, for the log; where not given, "+who)
	f.StringVar(&o.date, "date", "", "the `day` for the log, as 2026-06-01; the project's reference date where not given")
	f.BoolVar(&o.dryRun, "dry-run", false, "say what would be written, and write nothing")
}

func (a *app) weigh(file string, o weighOptions) error {
	if err := o.validate(); err != nil {
		return err
	}
	j, err := project.LoadJudgements(a.project, file)
	if err != nil {
		return err
	}
	w, err := weighed(j)
	if err != nil {
		return err
	}
	rounded, err := project.RoundWeights(w.Weights())
	if err != nil {
		return err
	}
	result := newWeighResult(j, w, rounded)
	if o.accept {
		if result.Accepted, err = a.accept(j, rounded, o); err != nil {
			return err
		}
	}
	return a.say(result, result.print)
}

// weighed puts judgements to the mathematics of their kind.
func weighed(j *project.Judgements) (*evidence.Weighing, error) {
	switch j.Kind {
	case "pairwise":
		return evidence.FromComparisons(j.Items, said(j, func(e project.Judge) evidence.Pairwise { return e.Pairwise }))
	case "intervals":
		return evidence.FromIntervals(j.Items, said(j, func(e project.Judge) []evidence.FourStep {
			var answers []evidence.FourStep
			for _, v := range e.Intervals {
				answers = append(answers, evidence.FourStep(v))
			}
			return answers
		}))
	}
	return evidence.FromWeights(j.Items, said(j, func(e project.Judge) []float64 { return e.Direct }))
}

func said[T any](j *project.Judgements, answer func(project.Judge) T) []evidence.By[T] {
	var all []evidence.By[T]
	for _, e := range j.Experts {
		all = append(all, evidence.By[T]{Expert: e.Code, Says: answer(e)})
	}
	return all
}

// accept writes the weights as a new version, unless they are there already.
func (a *app) accept(j *project.Judgements, weights []float64, o weighOptions) (*versionResult, error) {
	f, err := j.Profile()
	if err != nil {
		return nil, err
	}
	c, err := a.change(o)
	if err != nil {
		return nil, err
	}
	c.Weights = j.Change(weights)
	if c.Evidence = filepath.Base(j.File); j.Evidence != "" {
		c.Evidence = fmt.Sprintf("%s (%s)", j.Evidence, c.Evidence)
	}
	if c.Who == "" {
		c.Who = list(codesOf(j))
	}
	revision, err := f.Revise(c)
	if errors.Is(err, project.ErrSameWeights) {
		return &versionResult{Species: j.Species, File: f.Path, Same: true}, nil
	}
	return written(j.Species, f, revision, err, o.dryRun)
}

func codesOf(j *project.Judgements) []string {
	var codes []string
	for _, e := range j.Experts {
		codes = append(codes, e.Code)
	}
	return codes
}

// change is who, why and when of a new version.
func (a *app) change(o weighOptions) (project.Change, error) {
	c := project.Change{Reason: o.reason, Who: o.who}
	if o.date == "" {
		p, err := project.Load(a.project)
		if err != nil {
			return c, err
		}
		c.Date = p.Date
		return c, nil
	}
	date, err := time.Parse(time.DateOnly, o.date)
	if err != nil {
		return c, usage(fmt.Errorf("%q is no date", o.date), "write year-month-day, as --date 2026-06-01")
	}
	c.Date = date
	return c, nil
}
