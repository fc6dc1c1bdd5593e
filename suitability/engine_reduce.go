package suitability

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// Reduce joins the segments of every open species into its published surface,
// then counts species by cell, and lists what is current. A surface that is
// already there is left as it is.
func (p *Plan) Reduce(ctx context.Context, o RunOptions) (*Catalogue, error) {
	open := p.open()
	var done atomic.Int64
	group, running := errgroup.WithContext(ctx)
	group.SetLimit(max(o.Workers, 1))
	for i, t := range p.Tasks {
		if !p.isOpen(t) {
			continue
		}
		group.Go(func() error {
			if running.Err() != nil {
				return nil
			}
			err := p.publishSpecies(t, p.job.Subjects[i])
			if err != nil && p.isOpen(t) { // else another run was quicker and tidied up
				return fmt.Errorf("species %s: %w", t.Species, err)
			}
			if o.Progress != nil {
				o.Progress(Progress{"surfaces", int(done.Add(1)), len(open)})
			}
			return nil
		})
	}
	if err := errors.Join(group.Wait(), ctx.Err()); err != nil {
		return nil, err
	}
	if err := p.count(ctx, o); err != nil && !published(p.job.itemPath(countID, p.CountKey)) {
		return nil, fmt.Errorf("number of species: %w", err)
	}
	c := p.catalogue()
	if err := c.write(p.job.Folder); err != nil {
		return nil, err
	}
	return c, p.clean()
}

// publishSpecies joins and publishes the planes of one species. The item comes
// last: where it stands, everything it lists stands.
func (p *Plan) publishSpecies(t Task, s Subject) error {
	specs := p.job.speciesSpecs(s.Profile, t)
	j, err := p.join(t.Key, specs)
	if err != nil {
		return err
	}
	publish := p.job.publication(t.Species, t.Key, s.Profile.Title(), s.Profile)
	for _, plane := range planesFor(p.job.Audience) {
		if err = publish.plane(j, plane, specs[plane]); err != nil {
			break
		}
	}
	if err == nil {
		err = publish.finish(p.job.provenance(s, t))
	}
	return errors.Join(err, j.Close())
}

// clean removes the segments of surfaces that are published, and what a killed
// run left half written beside them.
func (p *Plan) clean() error {
	errs := p.cleanHalves(countID, p.CountKey)
	for _, t := range p.Tasks {
		if !t.Withheld {
			errs = append(errs, p.cleanHalves(t.Species, t.Key)...)
		}
	}
	for _, key := range p.keys() {
		errs = append(errs, os.RemoveAll(p.workFolder(key)))
	}
	os.Remove(filepath.Join(p.job.Folder, ".work")) // stays while another plan uses it
	return errors.Join(errs...)
}

// cleanHalves removes the temporary files of one surface: it stands, so nobody
// has a use for them.
func (p *Plan) cleanHalves(id, key string) []error {
	folder := filepath.Dir(p.job.itemPath(id, key))
	list, err := os.ReadDir(folder)
	errs := []error{err}
	for _, f := range list {
		if name := f.Name(); strings.HasPrefix(name, ".") && strings.HasSuffix(name, ".tmp") && strings.Contains(name, key[:12]) {
			if err := os.Remove(filepath.Join(folder, name)); !errors.Is(err, os.ErrNotExist) {
				errs = append(errs, err)
			}
		}
	}
	return errs
}

func (p *Plan) keys() []string {
	keys := []string{p.CountKey}
	for _, t := range p.Tasks {
		if !t.Withheld {
			keys = append(keys, t.Key)
		}
	}
	return keys
}
