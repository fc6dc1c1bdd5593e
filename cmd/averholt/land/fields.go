package land

import (
	"math"
	"math/rand/v2"
)

// fields cuts the farmland into fields. A piece is cut across its longer side,
// along the grain of the land, until it is small enough: so fields meet in
// T-shaped corners and their hedges run on from one to the next, as they do
// where farms were divided again and again.
type fields struct {
	m        *maker
	rng      *rand.Rand
	grain    *noise
	bendX    []float64 // m by which boundaries stray, per cell
	bendY    []float64
	count    int32 // fields so far
	barriers []bool
}

// layFields gives every cell of farmland its field; cells that a road or a
// brook runs through belong to a field beside it.
func (m *maker) layFields() {
	f := &fields{m: m, rng: stream(m.Seed, "fields"), grain: newNoise(m.Seed, "grain")}
	f.bends()
	m.parcel = make([]int32, Cols*Rows)
	for i := range m.parcel {
		m.parcel[i] = -1
	}
	for _, piece := range f.pieces() {
		f.cut(piece)
	}
	f.spread()
	f.mendSmall()
}

func (f *fields) bends() {
	x, y := f.m.field("field bend east", 620, 3), f.m.field("field bend south", 620, 3)
	f.bendX, f.bendY = make([]float64, Cols*Rows), make([]float64, Cols*Rows)
	for i := range f.bendX {
		f.bendX[i], f.bendY[i] = x(i), y(i)
	}
}

// pieces are the patches of farmland between roads, brooks and everything else.
func (f *fields) pieces() [][]int32 {
	m := f.m
	open := make([]bool, Cols*Rows)
	for i := range open {
		open[i] = m.free(i) && m.road[i] == 0 && !m.brook[i]
	}
	var all [][]int32
	var near [8]int
	for start := range open {
		if !open[start] {
			continue
		}
		open[start] = false
		piece := []int32{int32(start)}
		for n := 0; n < len(piece); n++ {
			i := int(piece[n])
			for _, j := range around(i, Cols, Rows, &near) {
				if open[j] && sideBySide(i, j) {
					open[j] = false
					piece = append(piece, int32(j))
				}
			}
		}
		all = append(all, piece)
	}
	return all
}

// cut divides a piece, or makes it a field.
func (f *fields) cut(piece []int32) {
	if float64(len(piece)) <= f.target(piece)*between(f.rng, 0.75, 1.6) {
		for _, i := range piece {
			f.m.parcel[i] = f.count
		}
		f.count++
		return
	}
	k := f.divide(piece)
	f.cut(piece[:k])
	f.cut(piece[k:])
}

// target is the size of a field about the middle of a piece, in cells: large on
// the drained loam, small on clay, on the hill and by the river.
func (f *fields) target(piece []int32) float64 {
	i := int(piece[len(piece)/2])
	ha := map[Soil]float64{Sand: 6, Loam: 7.2, Clay: 4.6, Peat: 5.4, Rock: 4}[f.m.Soil[i]]
	x, y := f.m.ground.place(i)
	ha *= math.Exp(0.7 * f.grain.rough(x/3500, y/3500, 2, 0.5))
	ha *= 1 - 0.45*ramp(70, 110, f.m.ground.v[i])
	return ha * 1e4 / (Cell * Cell)
}

// divide parts a piece across the way that it is longest: its cells this side of
// the cut come first, and it returns how many they are.
func (f *fields) divide(piece []int32) int {
	turn := f.axis(piece) + between(f.rng, -0.09, 0.09)
	sin, cos := math.Sincos(turn)
	bend := 26.0
	if len(piece) > cellsOf(45) {
		bend = 95 // the bounds of farms are older and wind more
	}
	keys := make([]keyed, len(piece))
	for k, i := range piece {
		x, y := f.m.ground.place(int(i))
		keys[k] = keyed{(x+bend*f.bendX[i])*cos + (y+bend*f.bendY[i])*sin, i}
	}
	k := clampInt(int(float64(len(piece))*between(f.rng, 0.36, 0.64)), 1, len(piece)-1)
	part(keys, k)
	for k := range keys {
		piece[k] = keys[k].i
	}
	return k
}

type keyed struct {
	key float64
	i   int32
}

func (a keyed) before(b keyed) bool { return a.key < b.key || a.key == b.key && a.i < b.i }

// part puts the k least first (Hoare 1961, Algorithm 65: Find, Commun. ACM
// 4:321-322).
func part(keys []keyed, k int) {
	for low, high := 0, len(keys)-1; low < high; {
		middle, i, j := keys[(low+high)/2], low, high
		for i <= j {
			for keys[i].before(middle) {
				i++
			}
			for middle.before(keys[j]) {
				j--
			}
			if i <= j {
				keys[i], keys[j] = keys[j], keys[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return
		}
	}
}

// axis is the direction to cut across: that of the land's grain, or at right
// angles to it, whichever lies nearer to the piece's length.
func (f *fields) axis(piece []int32) float64 {
	var mx, my float64
	for _, i := range piece {
		mx, my = mx+float64(i%Cols), my+float64(i/Cols)
	}
	n := float64(len(piece))
	mx, my = mx/n, my/n
	var xx, xy, yy float64
	for _, i := range piece {
		dx, dy := float64(i%Cols)-mx, float64(i/Cols)-my
		xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
	}
	long := 0.5 * math.Atan2(2*xy, xx-yy)
	grain := 1.9 * f.grain.rough(mx*Cell/2600+9, my*Cell/2600, 2, 0.5)
	quarters := math.Round((long - grain) / (math.Pi / 2))
	return grain + quarters*math.Pi/2
}
