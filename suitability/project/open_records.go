package project

import (
	"context"
	"fmt"

	"tussock/layers"
	"tussock/layers/records"
	"tussock/suitability"
)

// Cleaning reads the project's records and puts them through the tests. What
// the tests know of the ground and of the species comes from the project; see
// [records.Clean].
func (o *Opened) Cleaning(ctx context.Context) (*records.Cleaning, error) {
	if o.cleaned != nil {
		return o.cleaned, nil
	}
	var sets []records.Set
	for _, source := range o.Records {
		set, err := records.Read(ctx, source, o.Grid.CRS)
		if err != nil {
			return nil, err
		}
		sets = append(sets, set)
	}
	return clean(ctx, o.Project, o.Layers, o.Subjects, sets)
}

// cleaning is the same while a project is being opened, since a profile may
// look at its species' own records. They are read once. A source that cannot be
// read is reported at its line and left out.
func (o *opening) cleaning() (*records.Cleaning, error) {
	if o.cleaned != nil {
		return o.cleaned, nil
	}
	var sets []records.Set
	for _, s := range o.file.Records {
		if s.doc == nil || s.doc.spoken(s.path) {
			continue
		}
		set, err := records.Read(o.ctx, o.records(s), o.grid.CRS)
		if err != nil {
			wrong(s.doc, join(s.path, "source"), err)
			continue
		}
		sets = append(sets, set)
	}
	cleaned, err := clean(o.ctx, o.project(), layers.NewSet(o.grid, o.order...), o.recorded(), sets)
	o.cleaned = cleaned
	return cleaned, err
}

// recorded is as much of each species as the tests of records look at.
func (o *opening) recorded() []suitability.Subject {
	ranges := o.readRanges()
	var subjects []suitability.Subject
	for _, p := range o.profiles {
		m, err := suitability.NewRangeMap(ranges[p], o.grid, p.Range.Edge)
		if err != nil {
			continue // reported where the model is built
		}
		profile := &suitability.Profile{ID: p.ID, Name: p.Name, Scientific: p.Scientific, Facts: p.modelFacts()}
		subjects = append(subjects, suitability.Subject{Profile: profile, Range: m})
	}
	return subjects
}

// clean puts records through the tests with what a project knows.
func clean(ctx context.Context, p *Project, set *layers.Set, subjects []suitability.Subject, sets []records.Set) (*records.Cleaning, error) {
	places, err := readPlaces(ctx, p.Gazetteer, set.Grid().CRS)
	if err != nil {
		return nil, err
	}
	checks := p.checks(set, places)
	checks.Species = newNames(subjects, set.Grid()).expectation
	cleaned, err := records.Clean(sets, checks)
	if err != nil {
		return nil, fmt.Errorf("project: %w", err)
	}
	return cleaned, nil
}
