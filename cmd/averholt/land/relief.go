package land

import "math"

// relief is the shape of the ground before anything grows on it.
type relief struct {
	seed   uint64
	river  *river
	broad  *noise
	form   *noise
	detail *noise
	skarn  ridge
}

// The heights that the district keeps between, m.
const (
	lowest  = 4.0
	highest = 215.0
)

func newRelief(seed uint64, r *river) *relief {
	return &relief{
		seed: seed, river: r, broad: newNoise(seed, "broad relief"), form: newNoise(seed, "forms"), detail: newNoise(seed, "detail"),
		skarn: newRidge(seed),
	}
}

// envelope is the surface that the water starts to cut into, m: a sandy plateau
// in the west, rolling land in the east, a basin for the fen in the south and
// the quartzite ridge in the north-west.
func (r *relief) envelope(x, y float64) float64 {
	off := r.river.off(x, y)
	wx, wy := 900*r.form.rough(x/3800, y/3800+70, 2, 0.5), 900*r.form.rough(x/3800-40, y/3800, 2, 0.5)
	swell := r.broad.rough((x+wx)/4600, (y+wy)/4600, 5, 0.52)
	rise := r.west(-off, y, swell)
	if off > 0 {
		rise = r.east(off, y, swell)
	}
	rise *= 1 - 0.93*r.basin(x, y)
	return r.river.floor(y) + rise + r.skarn.rise(x, y)
}

func (r *relief) west(off, y, swell float64) float64 {
	south := ramp(10500, 17500, y)
	return ramp(0, 2600, off)*(36-12*south) + ramp(2500, 11000, off)*(24-8*south) + ramp(0, 2000, off)*26*swell
}

func (r *relief) east(off, y, swell float64) float64 {
	south := ramp(8500, 16500, y)
	return ramp(0, 2400, off)*(34-20*south) + ramp(2000, 10500, off)*(50-34*south) + ramp(0, 2200, off)*(46-20*south)*swell
}

// basin is 1 in the middle of the fen's basin and 0 out of it.
func (r *relief) basin(x, y float64) float64 {
	dx, dy := r.river.off(x, y)-550, y-14900
	far := math.Hypot(dx/3100, dy/3300) + 0.5*r.form.rough(x/2600, y/2600, 3, 0.5)
	return ramp(1.15, 0.5, far)
}

// hardness is how much less than sand the ground gives way to water: 1 on
// sand, up to 5 on quartzite, below 1 on clay.
func (r *relief) hardness(x, y float64) float64 {
	soft := 1 - 0.45*ramp(-400, 900, r.river.off(x, y))
	uneven := math.Exp(0.9 * r.form.rough(x/900+50, y/900, 3, 0.6))
	return soft*uneven + 4*r.skarn.hard(x, y)
}

// shape makes the lattice of elevations at the district's own cell.
func (r *relief) shape() *lattice {
	coarse := newLattice(int((width+2*beyond)/100), int((height+2*beyond)/100), 100, -beyond, -beyond).fill(r.envelope)
	coarse = r.eroded(coarse, wearing{steps: 26, cut: 0.05, stray: 1.2})
	fine := newLattice(2*coarse.cols, 2*coarse.rows, 50, -beyond, -beyond).fill(func(x, y float64) float64 {
		return coarse.sample(x, y) + 0.8*r.form.rough(x/300, y/300, 2, 0.5)
	})
	fine = r.eroded(fine, wearing{steps: 6, cut: 0.05, stray: 0.8, calm: 4})
	return fullLattice().fill(func(x, y float64) float64 { return r.finish(x, y, fine.sample(x, y)) })
}

// wearing is how a surface is worn down.
type wearing struct {
	steps int
	cut   float64 // of soft ground in a step
	stray float64 // m
	calm  int     // steps of creep alone at the end
}

func (r *relief) eroded(l *lattice, w wearing) *lattice {
	e := &erosion{ground: l, fixed: make([]bool, len(l.v)), stray: w.stray, rng: stream(r.seed, "erosion")}
	e.cut = newLattice(l.cols, l.rows, l.cell, l.west, l.north).fill(func(x, y float64) float64 { return w.cut / r.hardness(x, y) })
	e.creep = newLattice(l.cols, l.rows, l.cell, l.west, l.north).fill(func(x, y float64) float64 { return min(0.2, 0.16/math.Sqrt(r.hardness(x, y))) })
	for i := range l.v {
		c, row := i%l.cols, i/l.cols
		x, y := l.place(i)
		if c == 0 || row == 0 || c == l.cols-1 || row == l.rows-1 {
			e.fixed[i] = true
		}
		if math.Abs(r.river.off(x, y)) < l.cell {
			e.fixed[i], l.v[i] = true, r.river.floor(y)
		}
	}
	e.run(w.steps)
	for range w.calm {
		e.spread()
	}
	return e.ground
}

// finish lays the valley's flat floor and puts in the small unevenness that
// water of this size does not make.
func (r *relief) finish(x, y, z float64) float64 {
	off, floor := math.Abs(r.river.off(x, y)), r.river.floor(y)
	side := r.river.plain(y) * (1 + 0.25*r.form.rough(x/700, y/700, 3, 0.5))
	flat := ramp(side*1.9, side*0.8, off)
	z = lerp(flat, z, min(z, floor+0.5+0.003*off))
	if b := r.basin(x, y); b > 0 {
		level := floor + 0.3 + 0.5*r.form.rough(x/600, y/600, 3, 0.5) + 0.0003*off
		z = lerp(ramp(0.1, 0.85, b), z, min(z, level))
	}
	hard := r.skarn.hard(x, y)
	uneven := 0.35*r.detail.rough(x/140, y/140, 3, 0.6) + hard*3.2*r.detail.rough(x/190, y/190, 4, 0.62)
	return z + uneven*(1-0.6*flat)
}
