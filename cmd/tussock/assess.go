package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
	"tussock/suitability/evidence"
	"tussock/suitability/project"
)

type assessOptions struct {
	species []string
	seed    uint64
}

func (a *app) assessCommand() *cobra.Command {
	var o assessOptions
	c := &cobra.Command{
		Use:   "assess",
		Short: "Say how well each map agrees with records and visits, and what that is worth",
		Long: `Holds each species' habitat, before the range rule, against two kinds of evidence,
whose figures are never put side by side.

Records against the ground: the continuous Boyce index, smoothed below 50 records;
AUC with its caveat; the share of records at thresholds and on the best ground;
how records choose by class and by each measure of the profile. The ground is what
is assessed, not excluded, and of documented or uncertain range; a second table
adds the range's edge. Only records that may shape a map judge, one of each cell
and year, each by the mean over its disc of uncertainty. Blocks of at least 2 km,
four times the scale of effect and as far as habitat is alike are dealt to 5 folds.
What a profile makes of records is made again without those that judge it.

Visits with finds against visits with blanks, where a project has them: true skill
statistic, Brier score, and calibration by class, corrected for detection where
sites were visited more than once.

Writes nothing. Figures are for --audience staff; others get one line a species,
and none of a sensitive one. The exit status is 3 where a species could not be
judged by its records, or was withheld.
` + exitHelp,
		Example: "  tussock assess --audience staff\n  tussock assess --species adder --seed 7 --audience staff --json",
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return a.assess(c.Context(), o) },
	}
	f := c.Flags()
	a.speciesFlag(c, &o.species)
	f.Uint64Var(&o.seed, "seed", 1, "`number` that deals blocks to folds and draws blocks again")
	return c
}

func (a *app) assess(ctx context.Context, o assessOptions) error {
	audience, err := a.theAudience(layers.Public)
	if err != nil {
		return err
	}
	p, err := a.open(ctx)
	if err != nil {
		return err
	}
	defer p.Close()
	subjects, err := pick(p.Subjects, o.species)
	if err != nil {
		return err
	}
	job, err := newJob(p, audience, "")
	if err != nil {
		return err
	}
	s, err := a.assessAll(ctx, p, job, subjects, o)
	if err != nil {
		return err
	}
	if audience == layers.Staff {
		err = a.say(s.json(job), func(w io.Writer) { s.print(w, job) })
	} else {
		err = a.say(s.briefJSON(), s.printBrief)
	}
	if err != nil {
		return err
	}
	return s.degraded()
}

// assessed is what is said of a project's species.
type assessed struct {
	project  string
	audience layers.Audience
	seed     uint64
	list     []*evidence.Assessment
	withheld []suitability.Subject
	visits   bool // the project has some
}

func (a *app) assessAll(ctx context.Context, p *project.Opened, job *suitability.Job, subjects []suitability.Subject, o assessOptions) (*assessed, error) {
	s := &assessed{project: p.Name, audience: job.Audience, seed: o.seed}
	cleaning, err := p.Cleaning(ctx)
	if err != nil {
		return nil, &codedError{exitInput, err, "see the records section of the project file"}
	}
	visits, err := allVisits(ctx, p)
	if err != nil {
		return nil, err
	}
	s.visits = len(visits) > 0
	options := evidence.AssessOptions{Seed: o.seed, Progress: a.progress()}
	for _, subject := range subjects {
		if job.Audience != layers.Staff && subject.Profile.Sensitivity != layers.NotSensitive {
			s.withheld = append(s.withheld, subject)
			continue
		}
		name := project.RecordName(subject.Profile)
		finds := evidence.Finds{Records: cleaning.Of(name).Records, Visits: visits, Name: name, Groups: p.VisitGroups}
		one, err := evidence.Assess(ctx, job, subject, finds, options)
		if err != nil {
			return nil, fmt.Errorf("species %s: %w", subject.Profile.ID, err)
		}
		s.list = append(s.list, one)
	}
	return s, nil
}

func allVisits(ctx context.Context, p *project.Opened) ([]records.Visit, error) {
	sets, err := p.Visits(ctx)
	if err != nil {
		return nil, &codedError{exitInput, err, "see the visits section of the project file"}
	}
	var all []records.Visit
	for _, set := range sets {
		all = append(all, set.Visits...)
	}
	return all, nil
}

// degraded is the exit where a species could not be judged by its records.
func (s *assessed) degraded() error {
	open := 0
	for _, one := range s.list {
		if !one.Background.Judged() {
			open++
		}
	}
	switch {
	case len(s.withheld) > 0:
		return &codedError{exitDegraded, fmt.Errorf("withheld from the %s audience: %d sensitive species", s.audience, len(s.withheld)), "staff may ask with --audience staff"}
	case open > 0:
		return &codedError{exitDegraded, fmt.Errorf("not judged by records: %d of %d species", open, len(s.list)), "`tussock records` says why records may not shape a map"}
	}
	return nil
}

// headline is what may be claimed, in a sentence.
func headline(p *evidence.PresenceBackground) string {
	x := p.InRange.Index
	from := counted(p.InRange.Records, "record")
	switch p.Claim.Skill {
	case evidence.TooFew:
		return fmt.Sprintf("Too few to judge: %s, and %d are needed", from, evidence.LeastRecords)
	case evidence.NotDefined:
		return fmt.Sprintf("The map does not tell the places of %s from the ground around: the index is undefined", from)
	case evidence.Better:
		return fmt.Sprintf("The records fall in better places than chance: index %.2f from %s%s%s", x.Index, from, between(x), foldWords(p.Folds))
	case evidence.Worse:
		return fmt.Sprintf("The records fall in worse places than chance: index %.2f from %s%s%s", x.Index, from, between(x), foldWords(p.Folds))
	}
	return fmt.Sprintf("No skill shown: index %.2f from %s%s%s; %s", x.Index, from, between(x), foldWords(p.Folds), p.Claim.Why)
}

func between(x evidence.Index) string {
	if !x.HasInterval {
		return ""
	}
	return fmt.Sprintf(" (%.2f to %.2f)", x.Low, x.High)
}

// foldWords are the folds in few words: 5 folds 0.60 to 0.90.
func foldWords(folds []evidence.FoldFigures) string {
	var low, high float64
	judged := 0
	for _, f := range folds {
		if f.Index.Err != nil {
			continue
		}
		if judged++; judged == 1 {
			low, high = f.Index.Index, f.Index.Index
		}
		low, high = min(low, f.Index.Index), max(high, f.Index.Index)
	}
	switch {
	case len(folds) == 0:
		return "; no folds"
	case judged == 0:
		return fmt.Sprintf("; each of %d folds has too few to be judged by itself", len(folds))
	case judged == 1:
		return fmt.Sprintf("; 1 of %d folds can be judged by itself, %.2f", len(folds), low)
	case judged < len(folds):
		return fmt.Sprintf("; %d of %d folds can be judged by themselves, %.2f to %.2f", judged, len(folds), low, high)
	}
	return fmt.Sprintf("; %d folds %.2f to %.2f", len(folds), low, high)
}

// whyNot is why there is no figure.
func whyNot(err error) string {
	switch {
	case errors.Is(err, evidence.ErrTooFew):
		return "too few"
	case err != nil:
		return "undefined"
	}
	return ""
}
