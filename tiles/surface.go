package tiles

import (
	"errors"
	"fmt"
	"path/filepath"
	"sync"

	"tussock/layers"
	"tussock/suitability"
)

// Surface is a published surface as a source of tiles. It opens its files once
// for each goroutine that reads at the same time.
type Surface struct {
	about      About
	lattice    layers.Lattice
	cols, rows int
	values     *rasterPool
	standing   *rasterPool // nil where the plane has none of its own
	mapped     suitability.Standing
	bins       *CountBins
}

// OpenSurface opens one plane of a species that the catalogue of a folder
// lists, with its standings. The plane must be stored in bytes.
func OpenSurface(folder string, c *suitability.Catalogue, e suitability.CatalogueEntry, plane suitability.Plane) (*Surface, error) {
	file, ok := e.Files[plane.String()]
	if !ok {
		return nil, fmt.Errorf("tiles: %s has no %s for the %s audience", e.ID, plane, c.Audience)
	}
	s := &Surface{
		about: About{ID: e.ID, Name: title(e), Description: fmt.Sprintf("%s, %s, for the %s audience, %s", title(e), plane, c.Audience, c.Date),
			Version: e.Version[:min(12, len(e.Version))]},
		values: &rasterPool{path: filepath.Join(folder, filepath.FromSlash(file))},
		mapped: suitability.Documented,
	}
	if file, ok := e.Files[suitability.StandingPlane.String()]; ok {
		s.standing = &rasterPool{path: filepath.Join(folder, filepath.FromSlash(file))}
	}
	first, err := s.values.take()
	if err != nil {
		return nil, err
	}
	info := first.Info()
	s.lattice, s.cols, s.rows = first.Lattice(), info.Cols, info.Rows
	s.values.give(first)
	return s, nil
}

func title(e suitability.CatalogueEntry) string {
	if e.Name != "" {
		return e.Name
	}
	return e.ID
}

// Bin turns numbers of species into classes as they are read.
func (s *Surface) Bin(b CountBins) { s.bins = &b }

// Rename sets the stem of the files that are made.
func (s *Surface) Rename(id string) { s.about.ID = id }

// Attribute sets whom to credit.
func (s *Surface) Attribute(credit string) { s.about.Attribution = credit }

// Lattice is where the surface's cells lie.
func (s *Surface) Lattice() layers.Lattice { return s.lattice }

// Size is how many cells the surface has.
func (s *Surface) Size() (cols, rows int) { return s.cols, s.rows }

// About is what is said of the surface.
func (s *Surface) About() About { return s.about }

// ReadBytes reads a window's values and standings. A plane without standings of
// its own counts as mapped wherever it has a value.
func (s *Surface) ReadBytes(w layers.Window, values, standing []byte) error {
	if err := s.values.read(w, values); err != nil {
		return err
	}
	if s.bins != nil {
		for i, v := range values {
			values[i] = s.bins.of(v)
		}
	}
	if s.standing != nil {
		return s.standing.read(w, standing)
	}
	for i, v := range values {
		standing[i] = byte(s.mapped)
		if v == suitability.ByteNodata {
			standing[i] = byte(suitability.NotAssessed)
		}
	}
	return nil
}

// Close lets go of the files.
func (s *Surface) Close() error {
	err := s.values.close()
	if s.standing != nil {
		err = errors.Join(err, s.standing.close())
	}
	return err
}

// rasterPool keeps open rasters of one file, for each serves one goroutine.
type rasterPool struct {
	path string
	mu   sync.Mutex
	idle []*layers.Raster
}

func (p *rasterPool) take() (*layers.Raster, error) {
	p.mu.Lock()
	if n := len(p.idle); n > 0 {
		r := p.idle[n-1]
		p.idle = p.idle[:n-1]
		p.mu.Unlock()
		return r, nil
	}
	p.mu.Unlock()
	return layers.OpenRaster(p.path, 1)
}

func (p *rasterPool) give(r *layers.Raster) {
	p.mu.Lock()
	p.idle = append(p.idle, r)
	p.mu.Unlock()
}

func (p *rasterPool) read(w layers.Window, dst []byte) error {
	r, err := p.take()
	if err != nil {
		return err
	}
	defer p.give(r)
	return r.ReadUint8(w.Col, w.Row, w.Cols, w.Rows, dst)
}

func (p *rasterPool) close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	var errs []error
	for _, r := range p.idle {
		errs = append(errs, r.Close())
	}
	p.idle = nil
	return errors.Join(errs...)
}
