package land

import (
	"math"

	"github.com/paulmach/orb"
)

// Lengths of the River Withen and its valley, m.
const (
	riverWidth   = 30.0
	beyond       = 2000.0 // how far the ground is made beyond the district's edge
	width        = Cols * Cell
	height       = Rows * Cell
	riverSpacing = 20.0
)

// river is the River Withen: the line that its valley follows, and the bed that
// winds about it. Points are metres east and south of the north-west corner.
type river struct {
	wander *noise
	bed    []orb.Point // downstream, in even steps
	former []orb.Point // the bed as it once lay
}

func newRiver(seed uint64) *river {
	r := &river{wander: newNoise(seed, "river")}
	r.wind(seed)
	return r
}

// axis is where the valley's middle lies at a distance from the north edge.
func (r *river) axis(y float64) float64 {
	broad := 1500 * r.wander.at(y/6500, 3.7)
	return 12300 + broad + 900*r.wander.at(y/2700, 9.2) + 300*r.wander.at(y/1100, 5.9) + 350*math.Sin(y/3900)
}

// floor is the height of the valley's floor, m: it falls southwards, fast in the
// north and hardly at all through the fen.
func (r *river) floor(y float64) float64 {
	t := clamp((y+beyond)/(height+2*beyond), 0, 1)
	return 5.0 + 21*math.Pow(1-t, 1.7)
}

// plain is half the width of the valley's floor, m.
func (r *river) plain(y float64) float64 {
	return 260 + 130*ramp(6000, 12500, y) + 170*r.wander.at(y/1500, 21.4)
}

// off is how far a point lies east of the valley's axis, m.
func (r *river) off(x, y float64) float64 { return x - r.axis(y) }

// level is the height of the water along the bed: it never rises downstream.
func (r *river) level() []float64 {
	levels, south := make([]float64, len(r.bed)), math.Inf(-1)
	for i, p := range r.bed {
		south = max(south, p[1])
		levels[i] = r.floor(south) - 1
	}
	return levels
}
