package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
	"tussock/suitability/project"
	"tussock/tiles"
)

// open reads and opens the project that --project names.
func (a *app) open(ctx context.Context) (*project.Opened, error) {
	o, err := project.Open(ctx, a.project)
	return o, a.noProject(err)
}

// load reads the project that --project names, and opens no layer.
func (a *app) load() (*project.Project, error) {
	p, err := project.Load(a.project)
	return p, a.noProject(err)
}

// noProject says what to do where there is no project file.
func (a *app) noProject(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &codedError{exitInput, fmt.Errorf("%s: there is no such project file", a.project), "name the file, or its folder, with --project"}
	}
	return err
}

// warn prints on stderr what is no mistake but worth knowing.
func (a *app) warn(o *project.Opened) error {
	warnings, err := warningsOf(o)
	for _, w := range warnings {
		if a.json {
			json.NewEncoder(a.err).Encode(map[string]string{"warning": w})
			continue
		}
		fmt.Fprintf(a.err, "warning: %s\n", w)
	}
	return err
}

func warningsOf(o *project.Opened) ([]string, error) {
	var warnings []string
	for _, w := range o.Warnings {
		warnings = append(warnings, w.Error())
	}
	beside, err := besideArea(o)
	return append(warnings, beside...), err
}

// outputOf is the folder that outputs go to.
func outputOf(p *project.Project, flag string) string {
	if flag != "" {
		return flag
	}
	return p.Output.Folder
}

// newJob is an opened project as the engine takes it, for one audience.
func newJob(o *project.Opened, audience layers.Audience, out string) (*suitability.Job, error) {
	if err := audience.Check(); err != nil {
		return nil, err
	}
	classes := o.Output.Classes
	return &suitability.Job{
		Project: o.Name, Grid: o.Grid, Layers: o.Layers, Inputs: o.Inputs, Subjects: o.Subjects, Audience: audience,
		Values: o.Output.Values, Classes: classes, Look: tiles.NewLook(len(classes) + 1), Counted: o.Output.Counted,
		Date: o.Date.Format(time.DateOnly), Licences: o.Licences, Folder: folderFor(outputOf(o.Project, out), audience),
	}, nil
}

// readRecords reads every source of records, counts what was kept, where that may
// be told, and what was kept aside, by reason, and gives back the rows that were
// kept aside.
func readRecords(ctx context.Context, o *project.Opened, tell bool) (counts []recordCount, aside []records.Reject, err error) {
	for _, source := range o.Records {
		set, err := records.Read(ctx, source, o.Grid.CRS)
		if err != nil {
			return nil, nil, &codedError{exitInput, err, "see the records section of the project file"}
		}
		c := recordCount{Source: source.File, Aside: len(set.Rejects), Reasons: map[string]int{}}
		if kept := len(set.Records); tell {
			c.Kept = &kept
		}
		for _, r := range set.Rejects {
			c.Reasons[string(r.Reason)]++
		}
		counts = append(counts, c)
		aside = append(aside, set.Rejects...)
	}
	return counts, aside, nil
}
