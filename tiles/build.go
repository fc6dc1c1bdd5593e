package tiles

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"tussock/layers"
)

// ErrEmpty says that a surface has no cell to show.
var ErrEmpty = errors.New("tiles: the surface has nothing to show")

// Options are how tiles are made. The zero value lacks an audience and formats;
// all else has a default.
type Options struct {
	Audience layers.Audience // whom the tiles are for; nothing is written for nobody
	Formats  []Format        // at least one
	Size     int             // pixels a side: 256 (the default) or 512
	MinZoom  int             // 0 is the whole world in a tile
	MaxZoom  int             // 0: the native zoom, whose pixels match the cells
	Palette  *Palette        // nil: suitability bytes in the five default classes
	// MapCell is the finest cell, in metres on the ground, that the audience may
	// see (layers.Audience.MapCell). No tile has smaller pixels, and none is
	// made of fewer cells.
	MapCell float64
	Workers int    // goroutines; 0: as many as Go uses processors
	Address string // where a server hands the tiles out, with {z}, {x} and {y}; "": no TileJSON
	Replace bool   // take the place of outputs that exist
	// Progress is called now and then, from one goroutine at a time, with the
	// number of tiles sampled at the native zoom.
	Progress func(done, total int)
}

// Build makes the tiles of a surface and writes them, with their legend, into a
// folder that exists: <id>/{z}/{x}/{y}.png, <id>.pmtiles, <id>.mbtiles as asked
// for, <id>.legend.json, <id>.legend.png, and <id>.tilejson where there is an
// address. Each name holds a complete output or what it held before, at any
// moment. Tiles wholly beyond the area are left out.
//
// Errors wrap layers.ErrNoAudience, fs.ErrExist, ErrPlace or ErrEmpty.
func Build(ctx context.Context, source Source, o Options, outDir string) error {
	if err := o.Audience.Check(); err != nil {
		return err
	}
	about := source.About()
	if err := about.check(); err != nil {
		return err
	}
	o, err := o.complete()
	if err != nil {
		return err
	}
	outputs := o.outputs(about.ID, outDir)
	if err := o.checkOutputs(outputs); err != nil {
		return err
	}
	at, err := survey(source)
	if err != nil {
		return err
	}
	z, err := o.zooms(at)
	if err != nil {
		return err
	}
	made, err := newSpool(outDir)
	if err != nil {
		return err
	}
	defer made.close()
	p := pyramid{source: source, palette: o.Palette, ground: at, zooms: z, size: o.Size, workers: o.Workers, progress: o.Progress}
	if err := p.run(ctx, made.keep); err != nil {
		return err
	}
	if made.count() == 0 {
		return fmt.Errorf("%w: %s", ErrEmpty, about.Name)
	}
	l := label{About: about, audience: o.Audience, bound: at.bound, min: z.min, max: z.max, size: o.Size, seen: p.seen}
	return o.write(ctx, made, l, outputs)
}

// complete checks the options and fills in the defaults.
func (o Options) complete() (Options, error) {
	if len(o.Formats) == 0 {
		return o, fmt.Errorf("tiles: no format was asked for\nhint: use one or more of %v", FormatNames())
	}
	for _, f := range o.Formats {
		if f.String() == "" {
			return o, fmt.Errorf("tiles: format %d is unknown", f)
		}
	}
	if o.Size == 0 {
		o.Size = 256
	}
	if o.Size != 256 && o.Size != 512 {
		return o, fmt.Errorf("tiles: tiles of %d pixels; use 256 or 512", o.Size)
	}
	if o.MinZoom < 0 || o.MaxZoom < 0 || o.MinZoom > MaxZoom || o.MaxZoom > MaxZoom {
		return o, fmt.Errorf("tiles: zooms %d to %d do not lie between 0 and %d", o.MinZoom, o.MaxZoom, MaxZoom)
	}
	if !(o.MapCell >= 0) {
		return o, fmt.Errorf("tiles: a map cell of %g m is impossible", o.MapCell)
	}
	if o.Address != "" {
		if err := checkAddress(o.Address); err != nil {
			return o, err
		}
	}
	if o.Palette == nil {
		o.Palette = DefaultPalette()
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return o, nil
}

// zooms settles the zooms for a place.
func (o Options) zooms(at ground) (zooms, error) {
	z := zooms{min: o.MinZoom, max: o.MaxZoom}
	z.native = nativeZoom(at.cell, o.Size, at.middle()[1])
	if z.max == 0 {
		z.max = max(z.native, z.min)
	}
	if o.MapCell > 0 {
		z.max = min(z.max, deepestZoom(o.MapCell, o.Size, at.farthestLatitude()))
		if z.max < z.min {
			return z, fmt.Errorf("tiles: cells of %g m, the finest for this audience, end at zoom %d, before the least zoom asked for, %d", o.MapCell, z.max, z.min)
		}
	}
	if z.min > z.max {
		return z, fmt.Errorf("tiles: the least zoom, %d, is beyond the greatest, %d", z.min, z.max)
	}
	depth := subtreeDepth
	if o.Size == 512 {
		depth--
	}
	z.cut = min(max(z.native, z.max)-depth, z.native)
	z.cut = max(z.cut, 0)
	return z, nil
}

// output is one file or folder to be written.
type output struct {
	path  string
	write func(ctx context.Context, path string, made *spool, l label) error
}

func (o Options) outputs(id, folder string) []output {
	var list []output
	seen := map[Format]bool{}
	for _, f := range o.Formats {
		if seen[f] {
			continue
		}
		seen[f] = true
		list = append(list, output{filepath.Join(folder, f.fileName(id)), f.write})
	}
	list = append(list, output{filepath.Join(folder, id+".legend.json"), o.writeLegend},
		output{filepath.Join(folder, id+".legend.png"), o.writeLegendPicture})
	if o.Address != "" {
		list = append(list, output{filepath.Join(folder, id+".tilejson"), o.writeTileJSON})
	}
	return list
}

// checkOutputs refuses to take the place of what exists, before any work.
func (o Options) checkOutputs(outputs []output) error {
	for _, out := range outputs {
		_, err := os.Lstat(out.path)
		if err == nil && !o.Replace {
			return fmt.Errorf("tiles: %s: %w", out.path, fs.ErrExist)
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("tiles: %w", err)
		}
	}
	return nil
}

func (o Options) write(ctx context.Context, made *spool, l label, outputs []output) error {
	for _, out := range outputs {
		if err := out.write(ctx, out.path, made, l); err != nil {
			return err
		}
	}
	return nil
}

func (f Format) write(ctx context.Context, path string, made *spool, l label) error {
	switch f {
	case Folder:
		return writeFolder(ctx, path, made)
	case PMTiles:
		return writePMTiles(ctx, path, made, l)
	default:
		return writeMBTiles(ctx, path, made, l)
	}
}

func (o Options) writeLegend(_ context.Context, path string, _ *spool, l label) error {
	return writeJSON(path, o.Palette.Legend(l.About).of(l.seen))
}

func (o Options) writeLegendPicture(_ context.Context, path string, _ *spool, l label) error {
	picture, err := o.Palette.Legend(l.About).of(l.seen).PNG(2)
	if err != nil {
		return err
	}
	return layers.Publish(path, func(w io.Writer) error {
		_, err := w.Write(picture)
		return err
	})
}

func (o Options) writeTileJSON(_ context.Context, path string, _ *spool, l label) error {
	t, err := l.tileJSON(o.Address)
	if err != nil {
		return err
	}
	return writeJSON(path, t)
}
