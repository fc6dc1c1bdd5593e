package suitability

import (
	"context"
	"fmt"
	"os"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"tussock/layers"
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
	ground := newGround(p.job, whole(b.window, mapCell), p.profiles(tasks))
	for _, i := range tasks {
		task, subject := p.Tasks[i], p.job.Subjects[i]
		cells, err := ground.cells(subject)
		if err != nil {
			return fmt.Errorf("species %s: %w", task.Species, err)
		}
		if mapCell > 1 {
			cells.average(mapCell)
		}
		seg := p.job.segment(cells, b.window)
		err = writeSegment(p.segmentPath(task.Key, b), seg)
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

// ground is what is measured once for one block and used by all its species.
type ground struct {
	job     *Job
	window  layers.Window
	reader  layers.Reader
	measure map[string]layers.Block
}

func newGround(j *Job, w layers.Window, profiles []*Profile) *ground {
	reach := map[string]float64{}
	for _, p := range profiles {
		for _, m := range p.Measures() {
			for _, name := range m.LayerNames() {
				reach[name] = max(reach[name], m.Reach())
			}
		}
	}
	return &ground{job: j, window: w, reader: j.Layers.Block(reach, w), measure: map[string]layers.Block{}}
}

// rows are the measured blocks in the profile's order.
func (g *ground) measures(p *Profile) ([]layers.Block, error) {
	var blocks []layers.Block
	for _, m := range p.Measures() {
		b, known := g.measure[m.Key()]
		if !known {
			var err error
			if b, err = m.Eval(g.reader, g.window); err != nil {
				return nil, err
			}
			g.measure[m.Key()] = b
		}
		blocks = append(blocks, b)
	}
	return blocks, nil
}

// cells are one species' results in a window, rows one behind the other.
type cells struct {
	window      layers.Window
	habitat     []float32 // S before the range rule; NaN where not assessed
	suitability []float32 // S after the public range rule; NaN where not shown
	standing    []uint8   // a Standing each
}

func (g *ground) cells(s Subject) (*cells, error) {
	measured, err := g.measures(s.Profile)
	if err != nil {
		return nil, err
	}
	evaluator, err := NewEvaluator(s.Profile)
	if err != nil {
		return nil, err
	}
	w := g.window
	c := &cells{window: w, habitat: make([]float32, w.Cells()), suitability: make([]float32, w.Cells()), standing: make([]uint8, w.Cells())}
	excluded := make([]uint8, w.Cols)
	rows := make([]Row, len(measured))
	documented := s.Range.Block(w)
	factors := publicFactors(s.Profile.ShowHistoric)
	for row := w.Row; row < w.Bottom(); row++ {
		for i, b := range measured {
			rows[i] = RowOf(b, row)
		}
		from := (row - w.Row) * w.Cols
		habitat := c.habitat[from : from+w.Cols]
		if err := evaluator.Row(rows, habitat, excluded); err != nil {
			return nil, err
		}
		rangeRow := documented.CodeRow(row)
		for i, S := range habitat {
			standing := StandingAt(Standing(rangeRow[i]), S == S, excluded[i] == 1)
			c.standing[from+i] = uint8(standing)
			c.suitability[from+i] = shown(S, factors[rangeRow[i]])
		}
	}
	return c, nil
}

// publicFactors are the public range factors by standing; NaN shows nothing.
func publicFactors(historic bool) (factors [RangeNotDocumented + 1]float32) {
	for _, standing := range Standings() {
		factors[standing] = float32(PublicFactor(standing, historic))
	}
	return factors
}

// shown is what the public range rule lets through. A factor of 0 is an answer
// even where the habitat could not be assessed.
func shown(S, factor float32) float32 {
	if factor == 0 {
		return 0
	}
	return S * factor
}
