package suitability

import (
	"errors"
	"fmt"
	"io"
	"os"

	"tussock/layers"
)

// ErrIncomplete is wrapped when a surface is joined before all its blocks are
// computed.
var ErrIncomplete = errors.New("suitability: not every block is computed yet")

// joined is one surface being put together from its segments: an index of its
// tiles, and one writer per plane.
type joined struct {
	plan    *Plan
	key     string
	writers map[Plane]*layers.CogWriter
	places  map[Plane][]place // by tile, in rows
	stats   map[Plane]*surfaceStats
	cols    int // tiles in a row
	files   openFiles
}

// place is where a tile's bytes lie.
type place struct {
	block  int32
	size   uint32
	offset int64
	stats  tileStats
}

// join reads every segment of a surface once: sizes, statistics and the half
// resolution go to the writers, and the places of the full tiles are kept.
func (p *Plan) join(key string, specs map[Plane]layers.CogSpec) (*joined, error) {
	g := p.job.Grid
	j := &joined{plan: p, key: key, writers: map[Plane]*layers.CogWriter{}, places: map[Plane][]place{}, stats: map[Plane]*surfaceStats{},
		cols: (g.Cols + tileSide - 1) / tileSide, files: openFiles{files: map[string]*os.File{}}}
	rows := (g.Rows + tileSide - 1) / tileSide
	for plane, spec := range specs {
		w, err := layers.NewCog(spec)
		if err != nil {
			return nil, errors.Join(err, j.Close())
		}
		j.writers[plane] = w
		j.places[plane] = make([]place, j.cols*rows)
		j.stats[plane] = &surfaceStats{}
	}
	for i := range p.blocks() {
		if err := j.add(p.block(i)); err != nil {
			return nil, errors.Join(err, j.Close())
		}
	}
	return j, j.summarise()
}

func (j *joined) add(b block) error {
	path := j.plan.segmentPath(j.key, b)
	seg, err := readSegment(path)
	if errors.Is(err, os.ErrNotExist) || errors.Is(err, errSegment) {
		return fmt.Errorf("%w: block %d of %d, of shard %d of %d", ErrIncomplete,
			b.index+1, j.plan.blocks(), j.plan.shardOf(b.index)+1, j.plan.Shards)
	}
	if err != nil {
		return err
	}
	for _, t := range seg.Tiles {
		if err := j.addTile(b, t); err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
	}
	return nil
}

// addTile lets the writer judge a tile's place before it is used.
func (j *joined) addTile(b block, t segmentTile) error {
	writer, wanted := j.writers[t.Plane]
	switch {
	case !wanted:
		return nil
	case t.Level == 1:
		return writer.SetReduced(int(t.Col), int(t.Row), t.Data)
	}
	if err := writer.SetTile(int(t.Col), int(t.Row), len(t.Data)); err != nil {
		return err
	}
	j.places[t.Plane][int(t.Row)*j.cols+int(t.Col)] = place{int32(b.index), uint32(len(t.Data)), t.offset, t.Stats}
	return nil
}

// summarise joins the statistics in the order of tiles.
func (j *joined) summarise() error {
	for plane, places := range j.places {
		stats := j.stats[plane]
		for _, at := range places {
			stats.join(at.stats)
		}
		if stats.Count > 0 && plane.Continuous() {
			j.writers[plane].SetStatistics(stats.public(j.plan.job.Grid))
		}
	}
	return nil
}

// write writes one plane.
func (j *joined) write(plane Plane, out io.Writer) error {
	places := j.places[plane]
	return j.writers[plane].Write(out, func(col, row int) ([]byte, error) {
		return j.read(places[row*j.cols+col])
	})
}

func (j *joined) read(at place) ([]byte, error) {
	f, err := j.files.open(j.plan.segmentPath(j.key, j.plan.block(int(at.block))))
	if err != nil {
		return nil, err
	}
	data := make([]byte, at.size)
	if _, err := f.ReadAt(data, at.offset); err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name(), err)
	}
	return data, nil
}

// Close lets go of the writers and files.
func (j *joined) Close() error {
	var errs []error
	for _, w := range j.writers {
		errs = append(errs, w.Close())
	}
	return errors.Join(append(errs, j.files.Close())...)
}

// openFiles keeps a few files open, for tiles are read along rows of blocks.
type openFiles struct {
	files map[string]*os.File
	order []string
}

const maxOpenFiles = 128

func (o *openFiles) open(path string) (*os.File, error) {
	if f := o.files[path]; f != nil {
		return f, nil
	}
	if len(o.order) == maxOpenFiles {
		o.files[o.order[0]].Close()
		delete(o.files, o.order[0])
		o.order = o.order[1:]
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	o.files[path] = f
	o.order = append(o.order, path)
	return f, nil
}

func (o *openFiles) Close() error {
	var errs []error
	for _, f := range o.files {
		errs = append(errs, f.Close())
	}
	return errors.Join(errs...)
}
