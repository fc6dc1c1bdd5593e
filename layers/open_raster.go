package layers

import (
	"errors"
	"fmt"
	"strconv"
	"sync"
)

// rasterLayer is a raster behind a layer. Datasets and transforms serve one
// goroutine each, so it keeps a pool of them.
type rasterLayer struct {
	spec  LayerSpec
	grid  Grid
	table *classTable // nil for a quantity
	count int         // of classes

	lock   sync.Mutex
	free   []*resampler
	closed bool
}

// openRaster opens a raster layer.
func openRaster(spec LayerSpec, grid Grid) (*Layer, error) {
	g := &rasterLayer{spec: spec, grid: grid}
	r, err := g.open()
	if err != nil {
		return nil, err
	}
	info := r.source.(*rasterSource).raster.Info()
	layer := &Layer{Name: spec.Name, Kind: spec.Kind, Unit: spec.Unit, source: g}
	if layer.Unit == "" {
		layer.Unit = info.Unit
	}
	if spec.Kind == Classes {
		classes, codes, err := mergedClasses(info.Classes, spec.Classes)
		if err == nil && len(classes) == 0 {
			err = errors.New("it has no class names; hint: list its numbers and names under classes")
		}
		if err != nil {
			return nil, errors.Join(err, g.shut(r))
		}
		layer.Classes = classes
		g.count, g.table = len(classes), newClassTable(codes, info.Nodata)
		g.ready(r)
	}
	g.put(r)
	return layer, nil
}

// open opens the raster once more.
func (g *rasterLayer) open() (*resampler, error) {
	raster, err := OpenRaster(g.spec.Source, max(g.spec.Band, 1))
	if err != nil {
		return nil, err
	}
	if g.spec.Nodata != nil {
		raster.SetNodata(*g.spec.Nodata)
	}
	info := raster.Info()
	if info.CRS.IsZero() {
		return nil, errors.Join(errors.New("it names no coordinate reference system; hint: give it one with gdal_edit.py -a_srs"), raster.Close())
	}
	mapper, err := NewMapper(g.grid.Lattice(), raster.Lattice(), alignTolerance)
	if err != nil {
		return nil, errors.Join(err, raster.Close())
	}
	r := &resampler{
		mapper: mapper, source: &rasterSource{raster: raster}, extent: Window{Cols: info.Cols, Rows: info.Rows},
		how: g.spec.resample(), limit: sourceLimit, stray: g.stray,
	}
	g.ready(r)
	return r, nil
}

// ready hands the classes on.
func (g *rasterLayer) ready(r *resampler) {
	r.count = g.count
	r.source.(*rasterSource).table = g.table
}

func (g *rasterLayer) stray(value, col, row int) error {
	return &UnknownClassError{Layer: g.spec.Name, Source: g.spec.Source, Value: strconv.Itoa(value), Col: col, Row: row, At: g.grid.Centre(col, row)}
}

func (g *rasterLayer) take() (*resampler, error) {
	g.lock.Lock()
	if g.closed {
		g.lock.Unlock()
		return nil, errors.New("the layer is closed")
	}
	if n := len(g.free); n > 0 {
		r := g.free[n-1]
		g.free = g.free[:n-1]
		g.lock.Unlock()
		return r, nil
	}
	g.lock.Unlock()
	return g.open()
}

// put gives a handle back; after Close it is closed.
func (g *rasterLayer) put(r *resampler) error {
	g.lock.Lock()
	defer g.lock.Unlock()
	if g.closed {
		return g.shut(r)
	}
	g.free = append(g.free, r)
	return nil
}

func (g *rasterLayer) shut(r *resampler) error {
	return errors.Join(r.source.(*rasterSource).raster.Close(), r.mapper.Close())
}

func (g *rasterLayer) read(w Window, b Block) error {
	r, err := g.take()
	if err == nil {
		err = errors.Join(r.run(w, b), g.put(r))
	}
	var unknown *UnknownClassError
	if err == nil || errors.As(err, &unknown) {
		return err // names its place already
	}
	return fmt.Errorf("layers: layer %q (%s): %w", g.spec.Name, g.spec.Source, err)
}

func (g *rasterLayer) burn(Burn, Window, Block) error {
	return fmt.Errorf("layers: layer %q (%s) is a raster; only features can be burned", g.spec.Name, g.spec.Source)
}

// Close closes all handles; those still at work are closed as they come back.
func (g *rasterLayer) Close() error {
	g.lock.Lock()
	defer g.lock.Unlock()
	g.closed = true
	var errs []error
	for _, r := range g.free {
		errs = append(errs, g.shut(r))
	}
	g.free = nil
	return errors.Join(errs...)
}

// rasterSource reads one raster's cells as values or as codes.
type rasterSource struct {
	raster *Raster
	table  *classTable

	values  []float32
	codes   []uint8
	bytes   []uint8
	numbers []int32
	ok      []bool
}

func (s *rasterSource) readValues(w Window) (sourceCells, error) {
	s.values = scratchOf(&s.values, w.Cells())
	err := s.raster.ReadFloat32(w.Col, w.Row, w.Cols, w.Rows, s.values)
	return sourceCells{window: w, values: s.values}, err
}

func (s *rasterSource) readCodes(w Window) (sourceCells, error) {
	s.codes = scratchOf(&s.codes, w.Cells())
	if s.raster.plainBytes() {
		return s.readBytes(w)
	}
	s.numbers, s.ok = scratchOf(&s.numbers, w.Cells()), scratchOf(&s.ok, w.Cells())
	if err := s.raster.ReadInt32(w.Col, w.Row, w.Cols, w.Rows, s.numbers, s.ok); err != nil {
		return sourceCells{}, err
	}
	cells := sourceCells{window: w, codes: s.codes}
	if s.table.convert(s.codes, s.numbers, s.ok) {
		cells.stray = func(k int) (int, bool) { return int(s.numbers[k]), s.ok[k] && s.table.code(s.numbers[k]) == strayCode }
	}
	return cells, nil
}

// readBytes skips the wider numbers and the mask.
func (s *rasterSource) readBytes(w Window) (sourceCells, error) {
	s.bytes = scratchOf(&s.bytes, w.Cells())
	if err := s.raster.ReadUint8(w.Col, w.Row, w.Cols, w.Rows, s.bytes); err != nil {
		return sourceCells{}, err
	}
	cells := sourceCells{window: w, codes: s.codes}
	if s.table.convertBytes(s.codes, s.bytes) {
		cells.stray = func(k int) (int, bool) { return int(s.bytes[k]), s.table.bytes[s.bytes[k]] == strayCode }
	}
	return cells, nil
}

// plainBytes tells whether bytes and a nodata number say all: no mask band and
// no alpha.
func (r *Raster) plainBytes() bool {
	return r.info.Type == "Byte" && !r.masked
}
