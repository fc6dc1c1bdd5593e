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

// countID is the name of the number-of-species surface among the species.
const countID = "species-count"

func (j *Job) countTitle() string {
	return fmt.Sprintf("Number of species at %s or better", ClassWords(len(j.Classes) + 1)[j.Counted])
}

// count publishes how many species reach the counted class in each cell. It is
// read back from the published classes, so that a species whose map did not
// change is not computed again.
func (p *Plan) count(ctx context.Context, o RunOptions) error {
	if published(p.job.itemPath(countID, p.CountKey)) {
		return nil
	}
	if err := os.MkdirAll(p.workFolder(p.CountKey), 0o777); err != nil {
		return err
	}
	var done atomic.Int64
	group, running := errgroup.WithContext(ctx)
	group.SetLimit(max(o.Workers, 1))
	for i := range p.blocks() {
		group.Go(func() error {
			if running.Err() != nil {
				return nil
			}
			if err := p.countBlock(p.block(i)); err != nil {
				return err
			}
			if o.Progress != nil {
				o.Progress(Progress{"count", int(done.Add(1)), p.blocks()})
			}
			return nil
		})
	}
	if err := errors.Join(group.Wait(), ctx.Err()); err != nil {
		return err
	}
	return p.publishCount()
}

func (p *Plan) countBlock(b block) error {
	path := p.segmentPath(p.CountKey, b)
	if _, err := readSegment(path); err == nil {
		return nil
	}
	desk := desks.Get().(*desk)
	defer desks.Put(desk)
	total, classes := resized(desk.cells.standing, b.window.Cells()), resized(desk.excluded, b.window.Cells())
	desk.cells.standing, desk.excluded = total, classes
	fill(total, ByteNodata)
	for _, t := range p.Tasks {
		if t.Withheld {
			continue
		}
		if err := readBytes(p.job.SurfaceFile(t.Species, t.Key, ClassPlane), b.window, classes); err != nil {
			return err
		}
		countClasses(total, classes, uint8(p.job.Counted))
	}
	desk.seg.reset()
	desk.bytes.cut(&desk.seg, byteSource(CountPlane, func(dst []uint8, row int) {
		copy(dst, total[(row-b.window.Row)*b.window.Cols:])
	}), b.window)
	return writeSegment(path, desk.seg)
}

// countClasses adds one species to the number of species: a cell where no
// species was assessed stays unknown. Numbers end at 254.
func countClasses(total, classes []uint8, from uint8) {
	for i, class := range classes {
		if class == ByteNodata {
			continue
		}
		if total[i] == ByteNodata {
			total[i] = 0
		}
		if class >= from && total[i] < ByteNodata-1 {
			total[i]++
		}
	}
}

func readBytes(path string, w layers.Window, dst []uint8) error {
	r, err := layers.OpenRaster(path, 1)
	if err != nil {
		return err
	}
	return errors.Join(r.ReadUint8(w.Col, w.Row, w.Cols, w.Rows, dst), r.Close())
}

// shownProfiles are the profiles of the species that are counted.
func (p *Plan) shownProfiles() []*Profile {
	var list []*Profile
	for i, t := range p.Tasks {
		if !t.Withheld {
			list = append(list, p.job.Subjects[i].Profile)
		}
	}
	return list
}

func (p *Plan) publishCount() error {
	spec := p.job.spec(CountPlane, p.job.countTitle())
	spec.Metadata["VERSION"] = p.CountKey
	j, err := p.join(p.CountKey, map[Plane]layers.CogSpec{CountPlane: spec})
	if err != nil {
		return err
	}
	publish := p.job.publication(countID, p.CountKey, p.job.countTitle(), p.shownProfiles()...)
	if err = publish.plane(j, CountPlane, spec); err == nil {
		err = publish.finish(nil)
	}
	return errors.Join(err, j.Close())
}
