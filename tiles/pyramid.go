package tiles

import "context"

// picture is one finished tile.
type picture struct {
	tile Tile
	data []byte
}

// zooms are the zooms of a pyramid.
type zooms struct {
	min, max int // what is written
	native   int // where the surface is sampled and values start
	cut      int // one task is everything below a tile of this zoom
}

// subtreeDepth is how many zooms one task spans: 256 tiles of 256 px at most in
// its deepest, so that what waits to be written stays small.
const subtreeDepth = 4

// climber makes the zooms above from the tiles of one zoom, which come in Hilbert
// order: it keeps one unfinished tile a zoom, whatever the size of the area.
type climber struct {
	size    int
	classes bool
	top     int // the last zoom to finish
	// done is called with each tile as it is finished, children before parents.
	done    func(t Tile, p *pixels) error
	pending [MaxZoom + 1]*pixels
	tile    [MaxZoom + 1]Tile
	open    [MaxZoom + 1]bool
}

// push hands over a finished tile. Empty tiles are dropped.
func (c *climber) push(t Tile, p *pixels) error {
	if p.empty() {
		return nil
	}
	if err := c.done(t, p); err != nil || t.Z == c.top {
		return err
	}
	parent := t.Parent()
	z := parent.Z
	if c.open[z] && c.tile[z] != parent {
		if err := c.finish(z); err != nil {
			return err
		}
	}
	if c.pending[z] == nil {
		c.pending[z] = newPixels(c.size)
	}
	c.tile[z], c.open[z] = parent, true
	p.halveInto(c.pending[z], t.X&1, t.Y&1, c.classes)
	return nil
}

// finish hands the unfinished tile of a zoom on to the zooms above.
func (c *climber) finish(z int) error {
	c.open[z] = false
	err := c.push(c.tile[z], c.pending[z])
	c.pending[z].clear()
	return err
}

// close finishes all that is open, deepest first.
func (c *climber) close() error {
	for z := MaxZoom; z >= c.top; z-- {
		if c.open[z] {
			if err := c.finish(z); err != nil {
				return err
			}
		}
	}
	return nil
}

// worker makes whole subtrees. One per goroutine.
type worker struct {
	sampler *sampler
	painter *painter
	zooms   zooms
	ground  ground
	sampled func() // called after each sampled tile
	base    *pixels
	deeper  *pixels
}

// subtree is what a task hands back: its pictures, in Hilbert order within each
// zoom, and the pixels of its root (nil where empty), for the zooms above.
type subtree struct {
	root     Tile
	pictures []picture
	pixels   *pixels
}

func (w *worker) run(ctx context.Context, root Tile) (*subtree, error) {
	result := &subtree{root: root}
	climb := climber{size: w.sampler.size, classes: w.painter.palette.classes(), top: root.Z}
	climb.done = func(t Tile, p *pixels) error {
		if t == root {
			result.pixels = newPixels(p.size)
			copy(result.pixels.values, p.values)
			copy(result.pixels.standing, p.standing)
			return nil // the zooms above start with the root
		}
		return w.keep(result, t, p)
	}
	for t := range w.ground.cover(w.zooms.native).within(root) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := w.sampler.tile(t, w.base); err != nil {
			return nil, err
		}
		w.sampled()
		if err := w.overzoom(ctx, result, t); err != nil {
			return nil, err
		}
		if err := climb.push(t, w.base); err != nil {
			return nil, err
		}
	}
	return result, climb.close()
}

// overzoom makes the tiles deeper than the native zoom, sampled from the
// surface, so that cells keep their true outlines.
func (w *worker) overzoom(ctx context.Context, result *subtree, t Tile) error {
	if w.base.empty() {
		return nil
	}
	for z := w.zooms.native + 1; z <= w.zooms.max; z++ {
		for deep := range w.ground.cover(z).within(t) {
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := w.sampler.tile(deep, w.deeper); err != nil {
				return err
			}
			if w.deeper.empty() {
				continue
			}
			if err := w.keep(result, deep, w.deeper); err != nil {
				return err
			}
		}
	}
	return nil
}

// keep paints a tile of a zoom that is to be written.
func (w *worker) keep(result *subtree, t Tile, p *pixels) error {
	if t.Z < w.zooms.min || t.Z > w.zooms.max {
		return nil
	}
	data, err := w.painter.paint(p)
	if err != nil {
		return err
	}
	result.pictures = append(result.pictures, picture{t, append([]byte(nil), data...)})
	return nil
}
