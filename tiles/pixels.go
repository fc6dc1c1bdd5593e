package tiles

import (
	"bytes"

	"tussock/layers"
	"tussock/suitability"
)

// pixels are the values and standings of one tile, row by row from the north.
// Pictures are made from them and never turned back into them.
type pixels struct {
	size             int
	values, standing []byte
}

func newPixels(size int) *pixels {
	p := &pixels{size: size, values: make([]byte, size*size), standing: make([]byte, size*size)}
	p.clear()
	return p
}

// clear takes every pixel beyond the area.
func (p *pixels) clear() {
	copy(p.values, blank)
	clear(p.standing)
}

// fill makes every pixel alike.
func (p *pixels) fill(value, standing byte) {
	for i := range p.values {
		p.values[i], p.standing[i] = value, standing
	}
}

// plain tells whether every pixel is alike.
func (p *pixels) plain() bool { return uniform(p.standing) && uniform(p.values) }

// blank is the values of a tile beyond the area.
var blank = bytes.Repeat([]byte{nothing}, 512*512)

// empty tells whether every pixel lies beyond the area.
func (p *pixels) empty() bool { return uniform(p.standing) && p.standing[0] == nowhere }

// uniform tells whether all bytes are the same: each equals the one before it.
func uniform(b []byte) bool { return bytes.Equal(b[1:], b[:len(b)-1]) }

// halveInto makes each 2×2 pixels of p one pixel of the quarter of the parent
// where p lies. The quarter is 0 or 1 from the west and from the north.
func (p *pixels) halveInto(parent *pixels, west, north int, classes bool) {
	half := p.size / 2
	if p.plain() {
		p.fillQuarter(parent, west, north)
		return
	}
	for y := range half {
		top, low := 2*y*p.size, (2*y+1)*p.size
		to := (y+north*half)*p.size + west*half
		majorityRow(parent.standing[to:to+half], p.standing[top:top+p.size], p.standing[low:low+p.size], nowhere)
		values := parent.values[to : to+half]
		if classes {
			majorityRow(values, p.values[top:top+p.size], p.values[low:low+p.size], nothing)
		} else {
			meanRow(values, p.values[top:top+p.size], p.values[low:low+p.size])
		}
	}
}

// fillQuarter is halveInto for a tile whose pixels are all alike.
func (p *pixels) fillQuarter(parent *pixels, west, north int) {
	half := p.size / 2
	for y := range half {
		to := (y+north*half)*p.size + west*half
		copy(parent.standing[to:to+half], p.standing)
		copy(parent.values[to:to+half], p.values)
	}
}

// meanRow halves two rows into one by the mean of the known values; halves go
// to the even value, so that zoom after zoom adds no drift.
func meanRow(to, top, low []byte) {
	for x := range to {
		a, b, c, d := top[2*x], top[2*x+1], low[2*x], low[2*x+1]
		if a|b|c|d < 128 || a != nothing && b != nothing && c != nothing && d != nothing {
			sum := uint(a) + uint(b) + uint(c) + uint(d)
			to[x] = byte((sum + 1 + sum>>2&1) >> 2)
			continue
		}
		to[x] = meanOfKnown(a, b, c, d)
	}
}

func meanOfKnown(four ...byte) byte {
	sum, n := 0, 0
	for _, v := range four {
		if v != nothing {
			sum, n = sum+int(v), n+1
		}
	}
	if n == 0 {
		return nothing
	}
	whole, rest := sum/n, sum%n
	if 2*rest > n || 2*rest == n && whole&1 == 1 {
		whole++
	}
	return byte(whole)
}

// majorityRow halves two rows into one by the value that most pixels have; of
// two, the lower. Unknown pixels have no say unless all four are unknown.
func majorityRow(to, top, low []byte, unknown byte) {
	for x := range to {
		a, b, c, d := top[2*x], top[2*x+1], low[2*x], low[2*x+1]
		if a == b && c == d && a == c {
			to[x] = a
			continue
		}
		to[x] = layers.MostFrequent(a, b, c, d, unknown)
	}
}

// colour writes each pixel's colour number. A row of one standing without a
// pattern, as most rows are, takes one lookup a pixel.
func (p *Palette) colour(from *pixels, to []byte) {
	shift := patternShift(from.size)
	for y := range from.size {
		row := y * from.size
		standing, values := from.standing[row:row+from.size], from.values[row:row+from.size]
		out := to[row : row+from.size]
		if s := suitability.Standing(standing[0]); patterns[s] == nil && uniform(standing) {
			for x, v := range values {
				out[x] = p.looks[lookOf(s, 0, v)]
			}
			continue
		}
		p.colourRow(out, values, standing, y>>shift%patternSide, shift)
	}
}

func (p *Palette) colourRow(out, values, standing []byte, line int, shift uint) {
	var inked [16]uint16 // by standing
	for s, pattern := range patterns {
		if pattern != nil {
			inked[s] = pattern[line]
		}
	}
	values, out = values[:len(standing)], out[:len(standing)]
	for x, s := range standing {
		ink := int(inked[s&15] >> (x >> shift & (patternSide - 1)) & 1)
		out[x] = p.looks[lookOf(suitability.Standing(s), ink, values[x])]
	}
}

// patternShift halves the pixels that patterns count in tiles of 512 px, which
// are shown at the size of 256.
func patternShift(size int) uint {
	if size == 512 {
		return 1
	}
	return 0
}
