package tiles

import (
	"iter"
	"slices"
)

// ID is a tile's number along the Hilbert curve of its zoom, after all tiles of
// the zooms before it: the tile id of PMTiles, version 3.
func (t Tile) ID() uint64 {
	x, y := uint64(t.X), uint64(t.Y)
	id := zoomStart(t.Z)
	for s := uint64(1) << t.Z >> 1; s > 0; s >>= 1 {
		var rx, ry uint64
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		id += s * s * (3*rx ^ ry)
		x, y = turn(s, x&(s-1), y&(s-1), rx, ry)
	}
	return id
}

// tileOf is the tile of an id; false where the id is deeper than MaxZoom.
func tileOf(id uint64) (Tile, bool) {
	z := 0
	for z <= MaxZoom && id >= zoomStart(z+1) {
		z++
	}
	if z > MaxZoom {
		return Tile{}, false
	}
	rest := id - zoomStart(z)
	var x, y uint64
	for s := uint64(1); s < 1<<z; s <<= 1 {
		rx := 1 & (rest / 2)
		ry := 1 & (rest ^ rx)
		x, y = turn(s, x, y, rx, ry)
		x, y = x+s*rx, y+s*ry
		rest /= 4
	}
	return Tile{z, int(x), int(y)}, true
}

// zoomStart is how many tiles the zooms before z have: (4^z − 1)/3.
func zoomStart(z int) uint64 { return (1<<(2*z) - 1) / 3 }

// turn flips and swaps a quadrant of side s to the curve's orientation in it.
func turn(s, x, y, rx, ry uint64) (uint64, uint64) {
	if ry != 0 {
		return x, y
	}
	if rx != 0 {
		x, y = s-1-x, s-1-y
	}
	return y, x
}

// children are the four tiles of the next zoom inside t, along the curve.
func (t Tile) children() [4]Tile {
	four := [4]Tile{
		{t.Z + 1, 2 * t.X, 2 * t.Y}, {t.Z + 1, 2*t.X + 1, 2 * t.Y},
		{t.Z + 1, 2 * t.X, 2*t.Y + 1}, {t.Z + 1, 2*t.X + 1, 2*t.Y + 1},
	}
	slices.SortFunc(four[:], func(a, b Tile) int {
		if a.ID() < b.ID() {
			return -1
		}
		return 1
	})
	return four
}

// tileRange is a rectangle of tiles of one zoom; both ends belong to it.
type tileRange struct{ z, minX, minY, maxX, maxY int }

func (r tileRange) count() int { return (r.maxX - r.minX + 1) * (r.maxY - r.minY + 1) }

// meets tells whether t, of the range's zoom or one further out, holds a tile
// of the range.
func (r tileRange) meets(t Tile) bool {
	shift := r.z - t.Z
	return t.X >= r.minX>>shift && t.X <= r.maxX>>shift && t.Y >= r.minY>>shift && t.Y <= r.maxY>>shift
}

// within walks the tiles of the range inside root, along the curve.
func (r tileRange) within(root Tile) iter.Seq[Tile] {
	return func(yield func(Tile) bool) { r.walk(root, yield) }
}

func (r tileRange) walk(t Tile, yield func(Tile) bool) bool {
	if !r.meets(t) {
		return true
	}
	if t.Z == r.z {
		return yield(t)
	}
	for _, child := range t.children() {
		if !r.walk(child, yield) {
			return false
		}
	}
	return true
}
