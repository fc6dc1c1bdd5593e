package project

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// chooseGrid takes the grid of the raster with the smallest cells that can be
// one; else it covers what there is, in its CRS or in the UTM zone of its
// middle.
func (s *starter) chooseGrid() error {
	for i := range s.rasters {
		f := &s.rasters[i]
		g, ok := f.grid()
		if ok && (s.like == "" || g.Cell < s.grid.Cell) {
			s.grid, s.like = g, f.name
		}
	}
	if s.like != "" {
		return nil
	}
	crs, bound, cell, found := s.firstPlace()
	if !found {
		return fmt.Errorf("%w in %s%s", ErrNothingFound, s.folder, s.reasons())
	}
	return s.coverWith(crs, bound, cell)
}

// grid is the raster's own grid, if it is square, north up, flat and in metres.
func (f *foundRaster) grid() (layers.Grid, bool) {
	a := f.info.Affine
	if flat(f.info.CRS) != "" || a[2] != 0 || a[4] != 0 || a[1] <= 0 || math.Abs(a[1]+a[5]) > 1e-9*a[1] {
		return layers.Grid{}, false
	}
	g, err := layers.NewGrid(f.info.CRS, f.bound(), a[1])
	return g, err == nil
}

// bound is what the raster covers, in its own CRS.
func (f *foundRaster) bound() orb.Bound {
	a, cols, rows := f.info.Affine, float64(f.info.Cols), float64(f.info.Rows)
	corner := func(c, r float64) orb.Point {
		return orb.Point{a[0] + c*a[1] + r*a[2], a[3] + c*a[4] + r*a[5]}
	}
	b := corner(0, 0).Bound()
	for _, p := range []orb.Point{corner(cols, 0), corner(0, rows), corner(cols, rows)} {
		b = b.Extend(p)
	}
	return b
}

// firstPlace is where the first raster, or else the first vector, lies; cell is
// the raster's in its own unit, 0 for a vector.
func (s *starter) firstPlace() (crs layers.CRS, bound orb.Bound, cell float64, found bool) {
	for i := range s.rasters {
		f := &s.rasters[i]
		if crs := f.info.CRS; crs.IsGeographic() || flat(crs) == "" {
			return crs, f.bound(), math.Hypot(f.info.Affine[1], f.info.Affine[4]), true
		}
	}
	for _, f := range s.vectors {
		if crs := f.info.CRS; crs.IsGeographic() || flat(crs) == "" {
			return crs, f.bound, 0, true
		}
	}
	return crs, bound, 0, false
}

// coverWith makes a grid over a bound, in the bound's CRS if that is flat.
func (s *starter) coverWith(crs layers.CRS, bound orb.Bound, cell float64) error {
	target := crs
	if flat(crs) != "" {
		middle := bound.Center()
		zone := 32600 + min(max(int(math.Floor((middle[0]+180)/6))+1, 1), 60)
		if middle[1] < 0 {
			zone += 100
		}
		var err error
		if target, err = layers.ParseCRS(fmt.Sprintf("EPSG:%d", zone)); err != nil {
			return err
		}
		if bound, err = moved(bound, crs, target); err != nil {
			return err
		}
		cell *= metresPerDegree
	}
	if cell == 0 {
		cell = max(bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]) / 1000
	}
	cell = roundCell(cell)
	g, err := layers.NewGrid(target, snap(bound.Pad(cell/2), cell), cell)
	s.grid = g
	return err
}

// metresPerDegree is the length of a degree of latitude, good enough to choose a
// cell by.
const metresPerDegree = 111_000

// roundCell is the nearest of 1, 2, 5, 10, 20, 50, … metres.
func roundCell(cell float64) float64 {
	best := 1.0
	for _, step := range []float64{1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10000} {
		if math.Abs(math.Log(cell/step)) < math.Abs(math.Log(cell/best)) {
			best = step
		}
	}
	return best
}

// moved is the bound, in another CRS, of points along a bound's rim.
func moved(b orb.Bound, from, to layers.CRS) (orb.Bound, error) {
	t, err := layers.NewTransform(from, to)
	if err != nil {
		return b, err
	}
	defer t.Close()
	const steps = 20
	var rim orb.LineString
	for i := range steps + 1 {
		x := b.Min[0] + (b.Max[0]-b.Min[0])*float64(i)/steps
		y := b.Min[1] + (b.Max[1]-b.Min[1])*float64(i)/steps
		rim = append(rim, orb.Point{x, b.Min[1]}, orb.Point{x, b.Max[1]}, orb.Point{b.Min[0], y}, orb.Point{b.Max[0], y})
	}
	g, err := t.Geometry(rim)
	if err != nil {
		return b, err
	}
	return g.Bound(), nil
}
