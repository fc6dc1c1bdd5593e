package suitability

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"tussock/layers"
)

// The rasters of a comparison. They are no planes of a surface.
const (
	differencePlane = CountPlane + 1 + iota
	changePlane
)

var changeNames = map[Plane]string{differencePlane: "difference", changePlane: "change"}

var changeWords = map[Plane]string{
	differencePlane: "new minus old suitability within the documented range, −1 to 1, away from 0 to hundredths",
	changePlane:     "change of suitability class",
}

// changeWriter makes the rasters of one comparison from windows of blockStep
// cells that come row by row. Compressed tiles wait in a file without a name.
type changeWriter struct {
	folder   string
	old, now *Version
	look     ChangeLook
	grid     layers.Grid
	specs    map[Plane]layers.CogSpec
	writers  map[Plane]*layers.CogWriter
	spans    map[Plane][]tileSpan // of the full resolution, by tile in rows
	stats    surfaceStats         // of the difference
	cut      cutter[uint8]
	seg      segment
	store    *os.File
	stored   int64
}

type tileSpan struct {
	offset int64
	size   int
}

// newChangeWriter starts the rasters of a comparison below a folder.
func newChangeWriter(folder string, look ChangeLook, old, now *Version, g layers.Grid) (*changeWriter, error) {
	w := &changeWriter{
		folder: filepath.Join(folder, now.Species), old: old, now: now, look: look, grid: g,
		specs: map[Plane]layers.CogSpec{}, writers: map[Plane]*layers.CogWriter{}, spans: map[Plane][]tileSpan{}, cut: newByteCutter(),
	}
	if err := os.MkdirAll(w.folder, 0o777); err != nil {
		return nil, fmt.Errorf("suitability: %w", err)
	}
	var err error
	if w.store, err = unnamedFile(w.folder); err != nil {
		return nil, err
	}
	across, down := (g.Cols+tileSide-1)/tileSide, (g.Rows+tileSide-1)/tileSide
	for _, p := range []Plane{differencePlane, changePlane} {
		w.specs[p] = w.spec(p)
		if w.writers[p], err = layers.NewCog(w.specs[p]); err != nil {
			delete(w.writers, p)
			return nil, errors.Join(err, w.Close())
		}
		w.spans[p] = make([]tileSpan, across*down)
	}
	return w, nil
}

// unnamedFile is a file in a folder that is gone however the program ends.
func unnamedFile(folder string) (*os.File, error) {
	f, err := os.CreateTemp(folder, ".compare-*.tmp")
	if err != nil {
		return nil, fmt.Errorf("suitability: %w", err)
	}
	if err := os.Remove(f.Name()); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

func (w *changeWriter) spec(p Plane) layers.CogSpec {
	s := layers.CogSpec{
		Grid: w.grid, Cells: layers.CogBytes, Nodata: ByteNodata, Description: w.now.Title + ": " + changeWords[p],
		Metadata: map[string]string{
			"AUDIENCE": w.now.Audience, "CAUTION": caution, "PROJECT": w.now.parts.Project, "SPECIES": *w.now.parts.Species,
			"REFERENCE_DATE": w.now.Date, "VERSION": w.now.Version, "COMPARED_WITH": w.old.Version, "COMPARED_REFERENCE_DATE": w.old.Date,
		},
	}
	if p == differencePlane {
		s.Unit, s.Scale, s.Offset, s.Overviews, s.Palette = "1", differenceScale, differenceOffset, layers.Average, w.look.Difference
		return s
	}
	s.Overviews = layers.Majority
	s.Classes = w.look.classes(states(len(w.now.classes)), w.comparable())
	return s
}

// comparable tells whether both versions have the same classes.
func (w *changeWriter) comparable() bool { return w.old.breaks() == w.now.breaks() }

// add cuts a window into tiles.
func (w *changeWriter) add(p *pair) error {
	w.seg.reset()
	difference, change := byteSource(differencePlane, p.rows(p.difference)), byteSource(changePlane, p.rows(p.change))
	difference.stats = statsOfDifference
	difference.reduce = func(dst, src []uint8, cols, rows int) { layers.ReduceAverage(dst, src, cols, rows, ByteNodata) }
	w.cut.cut(&w.seg, difference, p.window)
	w.cut.cut(&w.seg, change, p.window)
	for _, t := range w.seg.Tiles {
		if err := w.keep(t); err != nil {
			return err
		}
	}
	return nil
}

func (p *pair) rows(cells []uint8) func(dst []uint8, row int) {
	return func(dst []uint8, row int) { copy(dst, cells[(row-p.window.Row)*p.window.Cols:]) }
}

// keep announces a tile, and stores one of the full resolution.
func (w *changeWriter) keep(t segmentTile) error {
	writer, col, row := w.writers[t.Plane], int(t.Col), int(t.Row)
	if t.Level == 1 {
		return writer.SetReduced(col, row, t.Data)
	}
	if err := writer.SetTile(col, row, len(t.Data)); err != nil {
		return err
	}
	across := (w.grid.Cols + tileSide - 1) / tileSide
	w.spans[t.Plane][row*across+col] = tileSpan{w.stored, len(t.Data)}
	w.stats.join(t.Stats)
	if _, err := w.store.WriteAt(t.Data, w.stored); err != nil {
		return fmt.Errorf("suitability: keeping tiles: %w", err)
	}
	w.stored += int64(len(t.Data))
	return nil
}

// statsOfDifference sums a tile of differences.
func statsOfDifference(cells []uint8) tileStats {
	var counts [256]uint32
	for _, c := range cells {
		counts[c]++
	}
	var s tileStats
	for code, n := range counts[:ByteNodata] {
		if n > 0 {
			s.add(float64(code-differenceNone)/differenceNone, n)
		}
	}
	return s
}

// Close lets go of what the writer keeps.
func (w *changeWriter) Close() error {
	errs := []error{w.store.Close()}
	for _, writer := range w.writers {
		errs = append(errs, writer.Close())
	}
	return errors.Join(errs...)
}
