package suitability

import (
	"context"
	"fmt"
	"os"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// Progress is how far long work has come.
type Progress struct {
	Stage string // "cells", "surfaces", "count"
	Done  int
	Total int
}

// RunOptions are what may differ between two runs that give the same bytes.
type RunOptions struct {
	Workers  int            // blocks at a time; under 1 means 1
	Progress func(Progress) // called from several goroutines; nil for none
}

// Run computes the segments of one shard that are not there yet. It may be
// killed, repeated, or run twice at once: a segment is published by rename, and
// both runs publish the same bytes. When ctx ends, the blocks at hand are
// finished first.
func (p *Plan) Run(ctx context.Context, shard int, o RunOptions) error {
	if shard < 0 || shard >= p.Shards {
		return fmt.Errorf("suitability: there is no shard %d of %d", shard, p.Shards)
	}
	open := p.open()
	if len(open) == 0 {
		return ctx.Err()
	}
	for _, t := range open {
		if err := os.MkdirAll(p.workFolder(t.Key), 0o777); err != nil {
			return fmt.Errorf("suitability: %w", err)
		}
	}
	mine := p.blocksOf(shard)
	var done atomic.Int64
	group, running := errgroup.WithContext(ctx)
	group.SetLimit(max(o.Workers, 1))
	for _, b := range mine {
		group.Go(func() error {
			if running.Err() != nil {
				return nil
			}
			if err := p.runBlock(b); err != nil {
				return fmt.Errorf("suitability: block %d of %d (rows %d to %d, columns %d to %d): %w", b.index+1, p.blocks(),
					b.window.Row, b.window.Bottom()-1, b.window.Col, b.window.Right()-1, err)
			}
			if o.Progress != nil {
				o.Progress(Progress{"cells", int(done.Add(1)), len(mine)})
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	return ctx.Err()
}

// open are the tasks that still have something to compute.
func (p *Plan) open() []Task {
	var open []Task
	for _, t := range p.Tasks {
		if p.isOpen(t) {
			open = append(open, t)
		}
	}
	return open
}

// isOpen looks again at what is published: another run may have finished since
// the plan was made.
func (p *Plan) isOpen(t Task) bool {
	return !t.Done && !t.Withheld && !published(p.job.itemPath(t.Species, t.Key))
}

func (p *Plan) blocksOf(shard int) []block {
	var mine []block
	for i := range p.blocks() {
		if p.shardOf(i) == shard {
			mine = append(mine, p.block(i))
		}
	}
	return mine
}

// runBlock evaluates every open species that has no whole segment of a block.
// Species are grouped by the cell that their map is averaged over, so that
// each measure is taken once for each group.
func (p *Plan) runBlock(b block) error {
	byMapCell := map[int][]int{}
	for i, t := range p.Tasks {
		if !p.isOpen(t) {
			continue
		}
		if _, err := readSegment(p.segmentPath(t.Key, b)); err != nil {
			byMapCell[t.MapCell] = append(byMapCell[t.MapCell], i)
		}
	}
	for mapCell, tasks := range byMapCell {
		if err := p.runTasks(b, mapCell, tasks); err != nil {
			return err
		}
	}
	return nil
}

func (p *Plan) runTasks(b block, mapCell int, tasks []int) error {
	return p.runSpecies(b, newGround(p.job, whole(b.window, mapCell), p.profiles(tasks)), mapCell, tasks)
}

func (p *Plan) runSpecies(b block, ground *ground, mapCell int, tasks []int) error {
	desk := desks.Get().(*desk)
	defer desks.Put(desk)
	for _, i := range tasks {
		task, subject := p.Tasks[i], p.job.Subjects[i]
		if err := ground.assess(desk, subject); err != nil {
			return fmt.Errorf("species %s: %w", task.Species, err)
		}
		if mapCell > 1 {
			desk.cells.average(mapCell)
		}
		p.job.cutPlanes(desk, b.window)
		err := writeSegment(p.segmentPath(task.Key, b), desk.seg)
		if err != nil && p.isOpen(task) { // else another run has published it and tidied up
			return err
		}
	}
	return nil
}

func (p *Plan) profiles(tasks []int) []*Profile {
	var list []*Profile
	for _, i := range tasks {
		list = append(list, p.job.Subjects[i].Profile)
	}
	return list
}
