package suitability

import (
	"errors"
	"fmt"
	"math"

	"tussock/layers"
)

// ErrGrids is wrapped where two versions do not lie on the same cells.
var ErrGrids = errors.New("suitability: the two maps do not lie on the same cells")

// versionReader reads the rasters of one version.
type versionReader struct {
	version *Version
	planes  map[Plane]*layers.Raster
	grid    layers.Grid
	floats  bool
	bytes   []uint8
	numbers []float32
}

// open opens a version's rasters, which must agree on their cells.
func (v *Version) open() (*versionReader, error) {
	r := &versionReader{version: v, planes: map[Plane]*layers.Raster{}}
	for _, plane := range comparedPlanes {
		raster, err := layers.OpenRaster(v.files[plane], 1)
		if err != nil {
			return nil, errors.Join(err, r.Close())
		}
		r.planes[plane] = raster
		if err := r.check(plane, raster.Info()); err != nil {
			return nil, errors.Join(err, r.Close())
		}
	}
	return r, nil
}

// check holds a plane against what a surface's planes are.
func (r *versionReader) check(plane Plane, i layers.RasterInfo) error {
	a := i.Affine
	g := layers.Grid{CRS: i.CRS, West: a[0], North: a[3], Cell: a[1], Cols: i.Cols, Rows: i.Rows}
	file := r.version.files[plane]
	switch {
	case a != g.Affine():
		return fmt.Errorf("suitability: %s: its cells are no squares with north up", file)
	case plane == SuitabilityPlane && i.Type == "Float32":
		r.floats = true
	case i.Type != "Byte":
		return fmt.Errorf("suitability: %s holds %s, which no map of %s does", file, i.Type, plane)
	}
	if r.grid.Cols == 0 {
		r.grid = g
	}
	if !sameGrid(r.grid, g) {
		return fmt.Errorf("suitability: %s: its cells are not those of the other rasters of the same map", file)
	}
	return nil
}

func sameGrid(a, b layers.Grid) bool {
	return a.CRS.Equal(b.CRS) && a.Affine() == b.Affine() && a.Cols == b.Cols && a.Rows == b.Rows
}

// sameCells tells what is wrong where two versions have different grids.
func sameCells(old, now *versionReader) error {
	if sameGrid(old.grid, now.grid) {
		return nil
	}
	return fmt.Errorf("%w: %s has %s, and %s has %s; hint: map both on one grid, and compare those",
		ErrGrids, old.version.Item, gridWords(old.grid), now.version.Item, gridWords(now.grid))
}

func gridWords(g layers.Grid) string {
	crs := g.CRS.Code()
	if crs == "" {
		crs = g.CRS.Name()
	}
	return fmt.Sprintf("%d by %d cells of %g m from %.15g, %.15g in %s", g.Cols, g.Rows, g.Cell, g.West, g.North, crs)
}

// read reads a window into c.
func (r *versionReader) read(w layers.Window, c *versionCells) error {
	n := w.Cells()
	c.steps, c.classes, c.standing, c.state = resized(c.steps, n), resized(c.classes, n), resized(c.standing, n), resized(c.state, n)
	for plane, dst := range map[Plane][]uint8{ClassPlane: c.classes, StandingPlane: c.standing} {
		if err := r.planes[plane].ReadUint8(w.Col, w.Row, w.Cols, w.Rows, dst); err != nil {
			return err
		}
	}
	if err := r.steps(w, c.steps); err != nil {
		return err
	}
	err := states(len(r.version.classes)).of(c.state, c.classes, c.standing)
	if strange := (*strangeClass)(nil); errors.As(err, &strange) {
		return fmt.Errorf("suitability: %s: column %d, row %d: %w", r.version.files[ClassPlane], w.Col+strange.at%w.Cols, w.Row+strange.at/w.Cols, err)
	}
	return err
}

// steps reads suitability in steps of 0.005, whole where it is stored so.
func (r *versionReader) steps(w layers.Window, dst []float64) error {
	raster := r.planes[SuitabilityPlane]
	if r.floats {
		r.numbers = resized(r.numbers, len(dst))
		err := raster.ReadFloat32(w.Col, w.Row, w.Cols, w.Rows, r.numbers)
		for i, v := range r.numbers {
			dst[i] = byteSteps * float64(v)
		}
		return err
	}
	r.bytes = resized(r.bytes, len(dst))
	err := raster.ReadUint8(w.Col, w.Row, w.Cols, w.Rows, r.bytes)
	for i, b := range r.bytes {
		dst[i] = float64(b)
		if b > byteSteps {
			dst[i] = math.NaN()
		}
	}
	return err
}

// Close lets go of the rasters.
func (r *versionReader) Close() error {
	var errs []error
	for _, raster := range r.planes {
		errs = append(errs, raster.Close())
	}
	return errors.Join(errs...)
}
