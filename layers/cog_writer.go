package layers

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"os"
)

// CogWriter joins compressed tiles into a Cloud Optimized GeoTIFF (OGC 21-026).
// It compresses nothing at full resolution: it is told the size of every tile
// and is given those of half the resolution, in any order; it makes the smaller
// levels itself, and then writes the file from front to back. The bytes depend
// on the spec and the tiles alone.
//
// It keeps compressed overviews, at most 16 MB of them in memory and the
// rest in a temporary file, and no tile of the full resolution. It is for one
// goroutine, and is used in this order: SetTile and SetReduced for every tile,
// SetStatistics, Write, Close.
type CogWriter struct {
	spec   CogSpec
	geo    []tiffTag
	stats  *Statistics
	levels []cogLevel
	store  *cogStore
	built  bool
	closed bool
}

// NewCog starts a file. It fails where the spec contradicts itself or the grid's
// coordinate reference system cannot be written.
func NewCog(spec CogSpec) (*CogWriter, error) {
	if err := spec.check(); err != nil {
		return nil, err
	}
	geo, err := geoKeyTags(spec.Grid.CRS)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCog, err)
	}
	return &CogWriter{
		spec: spec, geo: geo, levels: cogLevels(spec.Grid.Cols, spec.Grid.Rows), store: &cogStore{limit: storeLimit},
	}, nil
}

// SetTile notes how many bytes a tile of the full resolution has; 0 for an empty
// one.
func (w *CogWriter) SetTile(col, row, size int) error {
	_, err := w.levels[0].take(col, row, size)
	return err
}

// SetReduced gives a tile of half the resolution; no bytes for an empty one. The
// tile is copied. Where the full resolution fits in one tile there is no such
// level, and the tile is let go.
func (w *CogWriter) SetReduced(col, row int, tile []byte) error {
	if len(w.levels) == 1 {
		return nil
	}
	i, err := w.levels[1].take(col, row, len(tile))
	if err != nil {
		return err
	}
	w.levels[1].spans[i], err = w.store.add(tile)
	return err
}

// SetStatistics adds statistics of the values.
func (w *CogWriter) SetStatistics(s Statistics) { w.stats = &s }

// Write writes the file. It asks for the non-empty tiles of the full resolution
// one after the other, in rows from north to south and from west to east, and
// has no use for one after it asks for the next.
func (w *CogWriter) Write(out io.Writer, tile func(col, row int) ([]byte, error)) error {
	if w.closed {
		return fmt.Errorf("%w: the writer is closed", ErrCog)
	}
	if err := w.build(); err != nil {
		return err
	}
	layout := w.layout()
	buffered := bufio.NewWriterSize(out, 1<<20)
	if _, err := buffered.Write(layout.encode()); err != nil {
		return err
	}
	for i := len(w.levels) - 1; i > 0; i-- {
		if err := w.writeOverview(buffered, &w.levels[i]); err != nil {
			return err
		}
	}
	if err := w.writeFull(buffered, tile); err != nil {
		return err
	}
	return buffered.Flush()
}

// build checks that every tile was given and makes the levels above the second.
func (w *CogWriter) build() error {
	if w.built {
		return nil
	}
	if err := w.levels[0].missing("full-resolution"); err != nil {
		return err
	}
	if len(w.levels) > 1 {
		if err := w.levels[1].missing("half-resolution"); err != nil {
			return err
		}
	}
	builder := newOverviewBuilder(w.spec, w.store)
	for i := 2; i < len(w.levels); i++ {
		if err := builder.build(&w.levels[i], &w.levels[i-1]); err != nil {
			return err
		}
	}
	w.built = true
	return nil
}

func (w *CogWriter) layout() cogLayout {
	layout := newLayout(w.levels, w.directories(), w.spec.BigTIFF)
	if layout.needsBig() {
		layout = newLayout(w.levels, w.directories(), true)
	}
	for i := range w.levels {
		layout.fill(i, &w.levels[i])
	}
	return layout
}

func (w *CogWriter) directories() [][]tiffTag {
	colours := w.spec.colours()
	directories := make([][]tiffTag, len(w.levels))
	for i := range w.levels {
		directories[i] = w.spec.directory(&w.levels[i], colours)
	}
	full := append(directories[0], w.spec.placeTags()...)
	full = append(full, w.geo...)
	directories[0] = append(full, textTag(tagMetadata, w.spec.metadataXML(w.stats)))
	return directories
}

func (w *CogWriter) writeOverview(out io.Writer, level *cogLevel) error {
	var buf []byte
	for i, size := range level.sizes {
		if size == 0 {
			continue
		}
		tile, err := w.store.read(buf, level.spans[i], int(size))
		if err != nil {
			return err
		}
		if err := writeTile(out, tile); err != nil {
			return err
		}
	}
	return nil
}

func (w *CogWriter) writeFull(out io.Writer, tile func(col, row int) ([]byte, error)) error {
	level := &w.levels[0]
	for i, size := range level.sizes {
		if size == 0 {
			continue
		}
		col, row := i%level.across, i/level.across
		raw, err := tile(col, row)
		if err != nil {
			return fmt.Errorf("%w: tile in column %d, row %d: %w", ErrCog, col, row, err)
		}
		if len(raw) != int(size) {
			return fmt.Errorf("%w: the tile in column %d, row %d has %d bytes; %d were announced", ErrCog, col, row, len(raw), size)
		}
		if err := writeTile(out, raw); err != nil {
			return err
		}
	}
	return nil
}

// writeTile writes a tile between its size and a repeat of its last four bytes.
func writeTile(out io.Writer, tile []byte) error {
	var leader, trailer [4]byte
	binary.LittleEndian.PutUint32(leader[:], uint32(len(tile)))
	copy(trailer[:], tile[max(len(tile)-4, 0):])
	for _, part := range [3][]byte{leader[:], tile, trailer[:]} {
		if _, err := out.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// Close lets go of what the writer keeps. A second Close returns os.ErrClosed.
func (w *CogWriter) Close() error {
	if w.closed {
		return os.ErrClosed
	}
	w.closed = true
	return w.store.close()
}
