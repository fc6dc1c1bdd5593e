package suitability

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"tussock/layers"
)

// Run computes the companion's blocks that are not there yet. It may be killed
// and repeated, as [Plan.Run]. When ctx ends, the blocks at hand are finished
// first.
func (q *CompanionPlan) Run(ctx context.Context, o RunOptions) error {
	if published(q.itemPath()) {
		return ctx.Err()
	}
	if err := os.MkdirAll(q.plan.workFolder(q.Task.Key), 0o777); err != nil {
		return fmt.Errorf("suitability: %w", err)
	}
	var done atomic.Int64
	group, running := errgroup.WithContext(ctx)
	group.SetLimit(max(o.Workers, 1))
	for i := range q.plan.blocks() {
		group.Go(func() error {
			if running.Err() != nil {
				return nil
			}
			if err := q.block(q.plan.block(i)); err != nil {
				return fmt.Errorf("suitability: %s of species %s, block %d of %d: %w", q.made.Kind, q.made.Species, i+1, q.plan.blocks(), err)
			}
			if o.Progress != nil {
				o.Progress(Progress{q.made.Kind + " " + q.made.Species, int(done.Add(1)), q.plan.blocks()})
			}
			return nil
		})
	}
	return errors.Join(group.Wait(), ctx.Err())
}

func (q *CompanionPlan) block(b block) error {
	path := q.plan.segmentPath(q.Task.Key, b)
	if _, err := readSegment(path); err == nil {
		return nil
	}
	cells := make([][]uint8, len(q.made.Rasters))
	for i := range cells {
		cells[i] = make([]uint8, b.window.Cells())
		fill(cells[i], ByteNodata)
	}
	note, err := q.made.Fill(b.window, cells)
	if err != nil {
		return err
	}
	var seg segment
	cut := newByteCutter()
	for i, r := range q.made.Rasters {
		cut.cut(&seg, r.source(companionPlane+Plane(i), b.window, cells[i]), b.window)
	}
	// The note travels as a tile of no raster.
	seg.Tiles = append(seg.Tiles, segmentTile{Plane: notePlane, Data: note})
	err = writeSegment(path, seg)
	if err != nil && published(q.itemPath()) { // another run has published it and tidied up
		return nil
	}
	return err
}

// source is where the cutter gets a raster's cells of a window.
func (r CompanionRaster) source(p Plane, w layers.Window, cells []uint8) source[uint8] {
	s := byteSource(p, func(dst []uint8, row int) { copy(dst, cells[(row-w.Row)*w.Cols:]) })
	if r.Numbers() {
		s.stats = r.stats
		s.reduce = func(dst, src []uint8, cols, rows int) { layers.ReduceAverage(dst, src, cols, rows, ByteNodata) }
	}
	return s
}

// stats sums a tile in the order of bytes.
func (r CompanionRaster) stats(cells []uint8) tileStats {
	var counts [256]uint32
	for _, c := range cells {
		counts[c]++
	}
	var s tileStats
	for code, n := range counts[:ByteNodata] {
		if n > 0 {
			s.add(float64(code)*r.Scale+r.Offset, n)
		}
	}
	return s
}
