package land

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// stream is the source of chance for one purpose. Purposes never share a
// stream, so that a change to one step leaves the chances of all others alone.
func stream(seed uint64, purpose string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(purpose))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// noise is gradient noise on a square lattice (Perlin 2002, Improving noise,
// ACM Trans. Graph. 21:681-682), with the lattice turned for every octave so
// that its axes do not show.
type noise struct {
	perm [512]uint8
	grad [256][2]float64
}

func newNoise(seed uint64, purpose string) *noise {
	rng := stream(seed, "noise "+purpose)
	n := &noise{}
	for i, p := range rng.Perm(256) {
		n.perm[i], n.perm[i+256] = uint8(p), uint8(p)
	}
	for i := range n.grad {
		n.grad[i][0], n.grad[i][1] = math.Cos(2*math.Pi*float64(i)/256), math.Sin(2*math.Pi*float64(i)/256)
	}
	return n
}

// at is one octave: about -0.7 to 0.7, 0 on the lattice, features about 1 wide.
func (n *noise) at(x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	u, v := x-fx, y-fy
	i, j := uint8(int(fx)), uint8(int(fy))
	a, b := int(n.perm[i]), int(n.perm[i+1])
	if i == 255 {
		b = int(n.perm[0])
	}
	j1 := int(j) + 1
	s, t := u*u*u*(u*(u*6-15)+10), v*v*v*(v*(v*6-15)+10)
	top := lerp(s, n.dot(a+int(j), u, v), n.dot(b+int(j), u-1, v))
	low := lerp(s, n.dot(a+j1, u, v-1), n.dot(b+j1, u-1, v-1))
	return lerp(t, top, low)
}

func (n *noise) dot(at int, u, v float64) float64 {
	g := &n.grad[n.perm[at&511]]
	return g[0]*u + g[1]*v
}

// rough is a sum of octaves, each half as wide as the one before and gain times
// as high; about -1 to 1. Lengths are in units of the widest octave.
func (n *noise) rough(x, y float64, octaves int, gain float64) float64 {
	const cos, sin = 0.8, 0.6 // the turn from octave to octave
	sum, weight, all := 0.0, 1.0, 0.0
	for range octaves {
		sum += weight * n.at(x, y)
		all += weight
		weight *= gain
		x, y = 2.03*(cos*x-sin*y)+17.3, 2.03*(sin*x+cos*y)-9.1
	}
	return 1.5 * sum / all
}

func lerp(t, a, b float64) float64 { return a + t*(b-a) }

// ramp rises smoothly from 0 at a to 1 at b; a may be the greater.
func ramp(a, b, v float64) float64 {
	t := clamp((v-a)/(b-a), 0, 1)
	return t * t * (3 - 2*t)
}

func clamp(v, low, high float64) float64 { return min(max(v, low), high) }

// chance is true with probability p.
func chance(rng *rand.Rand, p float64) bool { return rng.Float64() < p }

// between draws evenly from low to high.
func between(rng *rand.Rand, low, high float64) float64 { return low + (high-low)*rng.Float64() }
