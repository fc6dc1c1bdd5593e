package project

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// openGrid makes the grid; false where the file says nothing usable.
func (o *opening) openGrid() bool {
	if o.doc == nil {
		return false
	}
	g := &o.file.Area.Grid
	if g.doc == nil || g.doc.spoken(g.path) {
		return false
	}
	crs, err := layers.ParseCRS(g.CRS)
	switch {
	case g.Like != "":
		return o.gridLike(g)
	case err != nil || g.Cell == nil:
		return false
	case g.Boundary != "":
		extent, err := boundaryExtent(o.ctx, o.source(g.Boundary), crs)
		if err != nil {
			wrong(g.doc, join(g.path, "boundary"), err)
			return false
		}
		return o.setGrid(g, "boundary", crs, snap(extent, *g.Cell), *g.Cell)
	case g.Extent == nil:
		return false
	}
	return o.setGrid(g, "extent", crs, g.bound(), *g.Cell)
}

func (o *opening) setGrid(g *grid, key string, crs layers.CRS, extent orb.Bound, cell float64) bool {
	made, err := layers.NewGrid(crs, extent, cell)
	if err != nil {
		wrong(g.doc, join(g.path, key), err)
		return false
	}
	o.grid = made
	o.warnScale(g)
	return true
}

// gridLike takes the grid of a raster layer, which must be square and north up.
func (o *opening) gridLike(g *grid) bool {
	path := join(g.path, "like")
	like := o.file.Layers.find(g.Like)
	if like.doc.spoken(like.path) {
		return false
	}
	raster, err := layers.OpenRaster(o.source(like.Source), like.band())
	if err != nil {
		wrong(like.doc, join(like.path, "source"), err)
		return false
	}
	defer raster.Close()
	info := raster.Info()
	if problem := flat(info.CRS); problem != "" {
		g.doc.problem(path, "name a CRS, a cell and an extent instead", "layer %q cannot be the grid: %s", g.Like, problem)
		return false
	}
	a := info.Affine
	if a[2] != 0 || a[4] != 0 || a[1] <= 0 || math.Abs(a[1]+a[5]) > 1e-9*a[1] {
		g.doc.problem(path, "name a CRS, a cell and an extent instead", "layer %q cannot be the grid: its cells are not square and north up", g.Like)
		return false
	}
	extent := orb.Bound{
		Min: orb.Point{a[0], a[3] - float64(info.Rows)*a[1]},
		Max: orb.Point{a[0] + float64(info.Cols)*a[1], a[3]},
	}
	return o.setGrid(g, "like", info.CRS, extent, a[1])
}

func (l *layer) band() int {
	if l.Band == nil {
		return 1
	}
	return *l.Band
}

// boundaryExtent is what the features of a vector source cover, in a CRS.
func boundaryExtent(ctx context.Context, source string, crs layers.CRS) (extent orb.Bound, err error) {
	v, err := layers.OpenVector(source, "")
	if err != nil {
		return extent, err
	}
	defer v.Close()
	t, err := layers.NewTransform(v.Info().CRS, crs)
	if err != nil {
		return extent, err
	}
	defer t.Close()
	first := true
	for f, err := range v.Features(ctx, layers.FeatureQuery{}) {
		if err != nil {
			return extent, err
		}
		if f.Geometry == nil {
			continue
		}
		moved, err := t.Geometry(f.Geometry)
		if err != nil {
			return extent, fmt.Errorf("feature %d: %w", f.FID, err)
		}
		if first {
			extent, first = moved.Bound(), false
		}
		extent = extent.Union(moved.Bound())
	}
	if first {
		return extent, fmt.Errorf("%s has no features", source)
	}
	return extent, nil
}

// snap moves an extent outwards to multiples of the cell.
func snap(b orb.Bound, cell float64) orb.Bound {
	for i := range 2 {
		b.Min[i] = math.Floor(b.Min[i]/cell) * cell
		b.Max[i] = math.Ceil(b.Max[i]/cell) * cell
	}
	return b
}
