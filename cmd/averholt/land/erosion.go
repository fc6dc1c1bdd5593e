package land

import (
	"math"
	"math/rand/v2"
)

// erosion wears a surface down by running water and by creep.
//
// Running water cuts E = K·A^½·S, with drainage area A and slope S, solved
// implicitly from the outlets upwards (Braun and Willett 2013, Geomorphology
// 180-181:170-179), so that steps may be long. Creep spreads height by
// diffusion.
type erosion struct {
	ground *lattice
	cut    *lattice // K·time for one step, per cell
	creep  *lattice // diffusivity·time for one step over cell², per cell; at most 0.2
	fixed  []bool   // base level: the river and the edge
	stray  float64  // m by which the ground misleads the water, anew in each step
	rng    *rand.Rand
}

func (e *erosion) run(steps int) {
	for range steps {
		e.water()
		e.spread()
	}
}

func (e *erosion) water() {
	l := e.ground
	d := drain(e.misled(), func(i int) bool { return e.fixed[i] })
	for _, i := range d.order {
		to := d.to[i]
		if to == i || e.fixed[i] {
			continue
		}
		far := l.cell
		if int(i)%l.cols != int(to)%l.cols && int(i)/l.cols != int(to)/l.cols {
			far *= math.Sqrt2
		}
		f := e.cut.v[i] * math.Sqrt(d.area[i]) / far
		z := max(l.v[i], min(d.filled[i], l.v[i]+2)) // ponded silt, at most 2 m of it a step
		l.v[i] = max((z+f*l.v[to])/(1+f), l.v[to])
	}
}

// misled is the ground with a little chance in it. Without it water on an even
// slope runs in parallel lines along the lattice.
func (e *erosion) misled() *lattice {
	m := *e.ground
	m.v = append([]float64(nil), e.ground.v...)
	for i := range m.v {
		if !e.fixed[i] {
			m.v[i] += between(e.rng, -e.stray, e.stray)
		}
	}
	return &m
}

func (e *erosion) spread() {
	l := e.ground
	next := make([]float64, len(l.v))
	copy(next, l.v)
	for r := 1; r < l.rows-1; r++ {
		for c := 1; c < l.cols-1; c++ {
			i := r*l.cols + c
			if !e.fixed[i] {
				next[i] += e.creep.v[i] * (l.v[i-1] + l.v[i+1] + l.v[i-l.cols] + l.v[i+l.cols] - 4*l.v[i])
			}
		}
	}
	l.v = next
}
