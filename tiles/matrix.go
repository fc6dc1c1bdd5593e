package tiles

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"tussock/layers"
)

// MaxZoom is the deepest zoom: the last one that the table of WebMercatorQuad
// in OGC 17-083r4 gives.
const MaxZoom = 24

// The extent of WebMercatorQuad: a square whose half side is half the equator
// of the sphere of radius 6378137 m, and its north edge in degrees.
const (
	sphereRadius = 6378137.0
	halfSide     = math.Pi * sphereRadius
	maxLatitude  = 85.0511287798066
)

// ErrTile is wrapped by every error about an impossible tile address.
var ErrTile = errors.New("tiles: not a tile address")

// Tile is the address of one tile: zoom, column from the west, row from the
// north.
type Tile struct{ Z, X, Y int }

// ParseTile reads "z/x/y"; an extension after the row, as in "z/x/y.png", is
// not part of it.
func ParseTile(text string) (Tile, error) {
	parts := strings.Split(text, "/")
	if len(parts) != 3 {
		return Tile{}, fmt.Errorf("%w: %q is not zoom/column/row", ErrTile, text)
	}
	var n [3]int
	for i, part := range parts {
		if part == "" || strings.Trim(part, "0123456789") != "" || (len(part) > 1 && part[0] == '0') {
			return Tile{}, fmt.Errorf("%w: %q in %q is not a plain number", ErrTile, part, text)
		}
		v, err := strconv.Atoi(part)
		if err != nil {
			return Tile{}, fmt.Errorf("%w: %q in %q is too large", ErrTile, part, text)
		}
		n[i] = v
	}
	t := Tile{n[0], n[1], n[2]}
	return t, t.Check()
}

// Check tells whether the zoom is between 0 and MaxZoom and the tile inside the
// matrix of that zoom, 2^z by 2^z.
func (t Tile) Check() error {
	if t.Z < 0 || t.Z > MaxZoom {
		return fmt.Errorf("%w: zoom %d is not between 0 and %d", ErrTile, t.Z, MaxZoom)
	}
	if n := 1 << t.Z; t.X < 0 || t.Y < 0 || t.X >= n || t.Y >= n {
		return fmt.Errorf("%w: %s lies outside the %d by %d tiles of its zoom", ErrTile, t, n, n)
	}
	return nil
}

func (t Tile) String() string { return fmt.Sprintf("%d/%d/%d", t.Z, t.X, t.Y) }

// Parent is the tile of the next zoom out that holds t; of 0/0/0, itself.
func (t Tile) Parent() Tile {
	if t.Z == 0 {
		return t
	}
	return Tile{t.Z - 1, t.X / 2, t.Y / 2}
}

// RowFromSouth is the row counted upwards from the south, as tile stores after
// the Tile Map Service convention number it: 2^z − 1 − y.
func (t Tile) RowFromSouth() int { return 1<<t.Z - 1 - t.Y }

// Bound is the ground of a tile in degrees of longitude and latitude.
func (t Tile) Bound() orb.Bound {
	n := float64(int(1) << t.Z)
	lon := func(x int) float64 { return float64(x)/n*360 - 180 }
	lat := func(y int) float64 {
		return math.Atan(math.Sinh(math.Pi*(1-2*float64(y)/n))) * 180 / math.Pi
	}
	return orb.Bound{Min: orb.Point{lon(t.X), lat(t.Y + 1)}, Max: orb.Point{lon(t.X + 1), lat(t.Y)}}
}

// TileAt is the tile of a zoom that holds a point in degrees of longitude and
// latitude; points beyond the matrix go to its nearest tile.
func TileAt(p orb.Point, z int) Tile {
	n := float64(int(1) << z)
	lat := math.Max(-maxLatitude, math.Min(maxLatitude, p[1])) * math.Pi / 180
	x := (p[0] + 180) / 360 * n
	y := (1 - math.Asinh(math.Tan(lat))/math.Pi) / 2 * n
	inside := func(v float64) int { return int(math.Max(0, math.Min(n-1, math.Floor(v)))) }
	return Tile{z, inside(x), inside(y)}
}

// CellSize is the side of a pixel of 256 px tiles, in metres at the equator:
// 2πR/256 halved z times (OGC 17-083r4, cellSize).
func CellSize(z int) float64 { return 2 * halfSide / 256 / float64(int(1)<<z) }

// ScaleDenominator is CellSize over the standard pixel of 0.28 mm
// (OGC 17-083r4).
func ScaleDenominator(z int) float64 { return CellSize(z) / 0.00028 }

// groundPixel is the side on the ground, in metres, of a pixel of a tile of so
// many pixels a side: CellSize · 256/size · cos(latitude). It is the sphere's;
// the ellipsoid's differs from it by at most 0.7 %, both ways.
func groundPixel(z, size int, latitude float64) float64 {
	return CellSize(z) * 256 / float64(size) * math.Cos(latitude*math.Pi/180)
}

// nativeZoom is the smallest zoom whose pixel on the ground, at that latitude,
// is at most the cell: each cell then shows in at least one pixel or so.
func nativeZoom(cell float64, size int, latitude float64) int {
	for z := 0; z < MaxZoom; z++ {
		if groundPixel(z, size, latitude) <= cell {
			return z
		}
	}
	return MaxZoom
}

// deepestZoom is the largest zoom whose pixel on the ground is at least the
// cell, so that no tile shows finer than that; 0 where even that is too fine.
func deepestZoom(cell float64, size int, latitude float64) int {
	z := MaxZoom
	for z > 0 && groundPixel(z, size, latitude) < cell {
		z--
	}
	return z
}

// lattice is the pixels of a whole zoom, in tiles of size px, as one raster.
func lattice(z, size int) layers.Lattice {
	pixel := CellSize(z) * 256 / float64(size)
	return layers.Lattice{CRS: layers.WebMercator(), Affine: [6]float64{-halfSide, pixel, 0, halfSide, 0, -pixel}}
}

// pixels is the window of a tile in the raster of its whole zoom.
func (t Tile) pixels(size int) layers.Window {
	return layers.Window{Col: t.X * size, Row: t.Y * size, Cols: size, Rows: size}
}
