package tiles

import (
	"context"
	"sync"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// pyramid makes all tiles of a surface. Workers take subtrees at the cut zoom in
// Hilbert order; what they make is collected in that same order, so that the
// outcome does not depend on how many they are. At most twice as many subtrees
// as workers wait at a time.
type pyramid struct {
	source   Source
	palette  *Palette
	ground   ground
	zooms    zooms
	size     int
	workers  int
	progress func(done, total int)
	sampled  atomic.Int64

	mu   sync.Mutex
	seen seen // complete once run has returned
}

// task is a subtree under way.
type task struct {
	root   Tile
	result chan *subtree
}

// run hands every picture to keep: within each zoom in Hilbert order.
func (p *pyramid) run(ctx context.Context, keep func(picture) error) error {
	group, ctx := errgroup.WithContext(ctx)
	tasks := make(chan task)
	ordered := make(chan task, 2*p.workers)
	group.Go(func() error { return p.dispatch(ctx, tasks, ordered) })
	for range p.workers {
		group.Go(func() error { return p.work(ctx, tasks) })
	}
	group.Go(func() error { return p.collect(ctx, ordered, keep) })
	return group.Wait()
}

func (p *pyramid) dispatch(ctx context.Context, tasks, ordered chan<- task) error {
	defer close(tasks)
	defer close(ordered)
	for root := range p.ground.cover(p.zooms.cut).within(Tile{}) {
		t := task{root, make(chan *subtree, 1)}
		for _, queue := range []chan<- task{ordered, tasks} {
			select {
			case queue <- t:
			case <-ctx.Done():
				return ctx.Err()
			}
		}
	}
	return nil
}

func (p *pyramid) work(ctx context.Context, tasks <-chan task) error {
	painter, err := newPainter(p.palette, p.size)
	if err != nil {
		return err
	}
	samples := newSampler(p.source, p.palette, p.size)
	defer samples.close()
	w := &worker{sampler: samples, painter: painter,
		zooms: p.zooms, ground: p.ground, base: newPixels(p.size), deeper: newPixels(p.size),
		sampled: func() { p.sampled.Add(1) }}
	for t := range tasks {
		result, err := w.run(ctx, t.root)
		if err != nil {
			return err
		}
		t.result <- result
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.seen.add(&samples.seen)
	return nil
}

// collect keeps the pictures of the subtrees in their order and makes the zooms
// from the cut upwards.
func (p *pyramid) collect(ctx context.Context, ordered <-chan task, keep func(picture) error) error {
	painter, err := newPainter(p.palette, p.size)
	if err != nil {
		return err
	}
	climb := climber{size: p.size, classes: p.palette.classes(), top: min(p.zooms.min, p.zooms.cut)}
	climb.done = func(t Tile, px *pixels) error {
		if t.Z < p.zooms.min || t.Z > p.zooms.max {
			return nil
		}
		data, err := painter.paint(px)
		if err != nil {
			return err
		}
		return keep(picture{t, data})
	}
	for t := range ordered {
		var result *subtree
		select {
		case result = <-t.result:
		case <-ctx.Done():
			return ctx.Err()
		}
		if err := p.take(result, &climb, keep); err != nil {
			return err
		}
	}
	return climb.close()
}

func (p *pyramid) take(result *subtree, climb *climber, keep func(picture) error) error {
	for _, made := range result.pictures {
		if err := keep(made); err != nil {
			return err
		}
	}
	if p.progress != nil {
		p.progress(int(p.sampled.Load()), p.ground.cover(p.zooms.native).count())
	}
	if result.pixels == nil {
		return nil
	}
	return climb.push(result.root, result.pixels)
}
