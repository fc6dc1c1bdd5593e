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
	places, err := o.Places(ctx)
	if err != nil {
		return nil, err
	}
	return clean(o.Project, places, o.Layers, o.Subjects, sets)
}

// cleaning is the same while a project is being opened, since a profile may
// look at its species' own records. They are read once. A source that cannot be
// read is reported at its line and left out; nil where the tests cannot be made,
// which is reported too.
func (o *opening) cleaning() *records.Cleaning {
	if o.asked {
		return o.cleaned
	}
	o.asked = true
	places, err := readPlaces(o.ctx, o.dataSource(o.file.Places), o.grid.CRS)
	if err != nil {
		wrong(o.doc, join("places", "source"), err)
		return nil
	}
	o.cleaned, err = clean(o.project(), places, layers.NewSet(o.grid, o.order...), o.recorded(), o.recordSets())
	if err != nil {
		wrong(o.doc, "records", err)
	}
	return o.cleaned
}

func (o *opening) recordSets() []records.Set {
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
	return sets
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
func clean(p *Project, places []Place, set *layers.Set, subjects []suitability.Subject, sets []records.Set) (*records.Cleaning, error) {
	checks := p.checks(set, places)
	checks.Species = newNames(subjects, set.Grid()).expectation
	cleaned, err := records.Clean(sets, checks)
	if err != nil {
		return nil, fmt.Errorf("project: %w", err)
	}
	return cleaned, nil
}
