package tiles

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"tussock/layers"
)

// mapTolerance is how far, in cells, a pixel's place may be from its exact one.
const mapTolerance = 0.02

// maxWindow is how many cells a tile may read at once; where pixels are much
// larger than cells, or the map bends, a tile is sampled in strips.
const maxWindow = 1 << 22

// mapper finds the place in the source of each pixel of a window: layers.Mapper,
// or an analytic one in tests.
type mapper interface {
	Map(w layers.Window, xs, ys []float64) error
	Bound(w layers.Window) (bound layers.Window, ok bool, err error)
	Close() error
}

// sampler takes pixels from a source, nearest cell. One per goroutine.
type sampler struct {
	source     Source
	size       int
	cols, rows int
	palette    *Palette
	mappers    map[int]mapper // by zoom
	xs, ys     []float64
	cells      []cell
	values     []byte
	standing   []byte
	seen       seen
}

// cell is a cell of the surface.
type cell struct{ col, row int32 }

// seen is which standings occurred, without a value and with one.
type seen [standings][2]bool

func (s *seen) add(o *seen) {
	for i := range s {
		for j := range s[i] {
			s[i][j] = s[i][j] || o[i][j]
		}
	}
}

func newSampler(source Source, palette *Palette, size int) *sampler {
	cols, rows := source.Size()
	return &sampler{source: source, palette: palette, size: size, cols: cols, rows: rows,
		mappers: map[int]mapper{}, xs: make([]float64, size*size), ys: make([]float64, size*size), cells: make([]cell, size*size)}
}

// tile fills the pixels of a tile; those off the surface are beyond the area.
func (s *sampler) tile(t Tile, into *pixels) error {
	m, err := s.mapper(t.Z)
	if err != nil {
		return err
	}
	into.clear()
	if err := s.sample(m, t.pixels(s.size), into); err != nil {
		return fmt.Errorf("tiles: tile %s: %w", t, err)
	}
	return nil
}

// sample reads the cells around a tile in one go where they all lie on the
// surface, as most do. Where all are alike, the tile needs no map at all.
func (s *sampler) sample(m mapper, px layers.Window, into *pixels) error {
	w, ok, err := m.Bound(px)
	if err != nil {
		return err
	}
	ok = ok && w.Cells() <= maxWindow && layers.Window{Cols: s.cols, Rows: s.rows}.Contains(w)
	if ok {
		if err := s.read(w); err != nil {
			return err
		}
		if uniform(s.values) && uniform(s.standing) {
			into.fill(s.look(0))
			return nil
		}
	}
	if err := m.Map(px, s.xs, s.ys); err != nil {
		return err
	}
	if ok {
		s.pickInside(w, into)
		return nil
	}
	return s.strip(0, s.size, into)
}

func (s *sampler) read(w layers.Window) error {
	if n := w.Cells(); cap(s.values) < n {
		s.values, s.standing = make([]byte, n), make([]byte, n)
	}
	s.values, s.standing = s.values[:w.Cells()], s.standing[:w.Cells()]
	if err := s.source.ReadBytes(w, s.values, s.standing); err != nil {
		return err
	}
	for at, standing := range s.standing {
		if standing > mostStanding {
			return fmt.Errorf("standing %d in column %d, row %d of the surface is none of 0 to %d", standing, w.Col+at%w.Cols, w.Row+at/w.Cols, mostStanding)
		}
	}
	return nil
}

// pickInside is pick for a tile whose every pixel lies over a cell of w.
func (s *sampler) pickInside(w layers.Window, into *pixels) {
	col, row := float64(w.Col), float64(w.Row)
	values, standing, ys := into.values[:len(s.xs)], into.standing[:len(s.xs)], s.ys[:len(s.xs)]
	for i, x := range s.xs {
		at := int(ys[i]-row)*w.Cols + int(x-col)
		values[i], standing[i] = s.look(at)
	}
}

// look is the value and standing that a cell of what was read shows: a place
// without a value has a standing of its own.
func (s *sampler) look(at int) (value, standing byte) {
	standing = s.standing[at]
	if standing == nowhere {
		return nothing, nowhere
	}
	value = s.palette.known[s.values[at]]
	valued := 1
	if value == nothing {
		standing, valued = unvalued[standing], 0
	}
	s.seen[standing][valued] = true
	return value, standing
}

func (s *sampler) mapper(z int) (mapper, error) {
	if m, ok := s.mappers[z]; ok {
		return m, nil
	}
	m, err := layers.NewMapper(lattice(z, s.size), s.source.Lattice(), mapTolerance)
	if err != nil {
		return nil, fmt.Errorf("tiles: zoom %d: %w", z, err)
	}
	s.mappers[z] = m
	return m, nil
}

// close lets go of the mappers.
func (s *sampler) close() error {
	var errs []error
	for _, m := range s.mappers {
		errs = append(errs, m.Close())
	}
	return errors.Join(errs...)
}

// strip samples the rows from top up to bottom.
func (s *sampler) strip(top, bottom int, into *pixels) error {
	w := s.locate(top*s.size, bottom*s.size)
	if w.Empty() {
		return nil
	}
	if w.Cells() > maxWindow && bottom-top > 1 {
		middle := (top + bottom) / 2
		if err := s.strip(top, middle, into); err != nil {
			return err
		}
		return s.strip(middle, bottom, into)
	}
	if err := s.read(w); err != nil {
		return err
	}
	s.pick(w, top*s.size, bottom*s.size, into)
	return nil
}

// offSurface is the column of a pixel that no cell lies under.
const offSurface = -1

// locate finds the cell under each pixel from first up to last, and the smallest
// window with all of them; it is empty where there is none.
func (s *sampler) locate(first, last int) layers.Window {
	width, height := float64(s.cols), float64(s.rows)
	minC, minR, maxC, maxR := int32(math.MaxInt32), int32(math.MaxInt32), int32(-1), int32(-1)
	xs, ys := s.xs[first:last], s.ys[first:last]
	cells := s.cells[first:last]
	for i, x := range xs {
		y := ys[i]
		if !(x >= 0 && x < width && y >= 0 && y < height) { // true for NaN
			cells[i].col = offSurface
			continue
		}
		c := cell{int32(x), int32(y)}
		cells[i] = c
		minC, maxC = min(minC, c.col), max(maxC, c.col)
		minR, maxR = min(minR, c.row), max(maxR, c.row)
	}
	if maxC < 0 {
		return layers.Window{}
	}
	return layers.Window{Col: int(minC), Row: int(minR), Cols: int(maxC-minC) + 1, Rows: int(maxR-minR) + 1}
}

// pick takes the value and standing of each pixel's cell.
func (s *sampler) pick(w layers.Window, first, last int, into *pixels) {
	for i, c := range s.cells[first:last] {
		if c.col == offSurface {
			continue
		}
		at := (int(c.row)-w.Row)*w.Cols + int(c.col) - w.Col
		into.values[first+i], into.standing[first+i] = s.look(at)
	}
}

// painter turns pixels into pictures. One per goroutine.
type painter struct {
	palette *Palette
	png     *pngWriter
	numbers []byte
	plain   map[[2]byte][]byte // finished pictures of tiles that are all alike
}

func newPainter(palette *Palette, size int) (*painter, error) {
	png, err := newPNGWriter()
	if err != nil {
		return nil, err
	}
	return &painter{palette: palette, png: png, numbers: make([]byte, size*size), plain: map[[2]byte][]byte{}}, nil
}

// paint is the PNG of a tile, valid until the next call.
func (p *painter) paint(from *pixels) ([]byte, error) {
	plain := from.plain()
	look := [2]byte{from.values[0], from.standing[0]}
	if data, made := p.plain[look]; plain && made {
		return data, nil
	}
	p.palette.colour(from, p.numbers)
	data, err := p.png.write(p.numbers, from.size, p.palette.colours)
	if plain && err == nil {
		p.plain[look] = bytes.Clone(data)
	}
	return data, err
}
