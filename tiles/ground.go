package tiles

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// ErrPlace is wrapped by errors about an area that Web Mercator cannot show.
var ErrPlace = errors.New("tiles: the area cannot be shown in Web Mercator")

// ground is where a surface lies on the Earth.
type ground struct {
	bound orb.Bound // degrees
	cell  float64   // side of a cell in metres of its CRS
}

// middle is the middle of the bound.
func (g ground) middle() orb.Point { return g.bound.Center() }

// farthestLatitude is the latitude farthest from the equator: pixels are
// smallest on the ground there.
func (g ground) farthestLatitude() float64 {
	return math.Max(math.Abs(g.bound.Min[1]), math.Abs(g.bound.Max[1]))
}

// cover is the tiles of a zoom that the bound touches.
func (g ground) cover(z int) tileRange {
	low := TileAt(orb.Point{g.bound.Min[0], g.bound.Max[1]}, z)
	high := TileAt(orb.Point{g.bound.Max[0], g.bound.Min[1]}, z)
	return tileRange{z: z, minX: low.X, minY: low.Y, maxX: high.X, maxY: high.Y}
}

// sidePoints is how many points of each side of the area are transformed to
// find its bound: straight sides become curves, and with 256 points the bulge
// between two is under a hundred-thousandth of the side's own.
const sidePoints = 256

// survey finds where a surface lies.
func survey(source Source) (ground, error) {
	at := source.Lattice()
	cols, rows := source.Size()
	if cols <= 0 || rows <= 0 {
		return ground{}, fmt.Errorf("%w: it has %d by %d cells", ErrPlace, cols, rows)
	}
	if at.CRS.IsLocal() {
		return ground{}, fmt.Errorf("%w: its coordinate reference system, %s, is a local one with no known place on the Earth\nhint: give the project's grid an EPSG code", ErrPlace, at.CRS.Name())
	}
	xs, ys := outline(at.Affine, cols, rows)
	transform, err := layers.NewTransform(at.CRS, layers.WGS84())
	if err != nil {
		return ground{}, err
	}
	defer transform.Close()
	if err := transform.Points(xs, ys); err != nil {
		return ground{}, err
	}
	g := ground{cell: math.Hypot(at.Affine[1], at.Affine[4])}
	g.bound, err = boundOf(xs, ys)
	return g, err
}

// outline is points along the four sides of a raster, one cell outside it.
func outline(a [6]float64, cols, rows int) (xs, ys []float64) {
	add := func(col, row float64) {
		xs = append(xs, a[0]+col*a[1]+row*a[2])
		ys = append(ys, a[3]+col*a[4]+row*a[5])
	}
	width, height := float64(cols+1), float64(rows+1)
	for i := range sidePoints {
		t := float64(i) / sidePoints
		add(-1+t*(width+1), -1)
		add(width, -1+t*(height+1))
		add(width-t*(width+1), height)
		add(-1, height-t*(height+1))
	}
	return xs, ys
}

func boundOf(lons, lats []float64) (orb.Bound, error) {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for i, lon := range lons {
		if lat := lats[i]; !math.IsNaN(lon) && !math.IsNaN(lat) && !math.IsInf(lon, 0) && !math.IsInf(lat, 0) {
			b = b.Extend(orb.Point{lon, lat})
		}
	}
	if b.IsEmpty() || b.Min[1] >= maxLatitude || b.Max[1] <= -maxLatitude {
		return b, fmt.Errorf("%w: no part of it lies between %.4f degrees south and north\nhint: check the grid's coordinate reference system and extent", ErrPlace, maxLatitude)
	}
	b.Min[1], b.Max[1] = math.Max(b.Min[1], -maxLatitude), math.Min(b.Max[1], maxLatitude)
	return b, nil
}
