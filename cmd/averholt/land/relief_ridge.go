package land

import (
	"math"

	"github.com/paulmach/orb"
)

// ridge is Skarn Tops: a quartzite hill, steep to the north and gentler to the
// south, where its own sand lies.
type ridge struct {
	crest  []orb.Point // m east and south of the north-west corner
	height []float64   // m that the crest adds, at each point
	bent   *noise
}

func newRidge(seed uint64) ridge {
	return ridge{
		crest:  []orb.Point{{3300, 2500}, {4500, 1850}, {5700, 1750}, {6900, 2250}, {8100, 2450}, {9000, 3000}},
		height: []float64{70, 125, 160, 140, 120, 55},
		bent:   newNoise(seed, "ridge"),
	}
}

// nearest is how far a point lies from the crest, on which side (south is
// positive), and how much the crest adds there.
func (g ridge) nearest(x, y float64) (far, crest float64) {
	if x > 14000 || y > 8000 {
		return math.Inf(1), 0
	}
	x += 420 * g.bent.rough(x/1500, y/1500, 3, 0.5)
	y += 420 * g.bent.rough(x/1500+31, y/1500-17, 3, 0.5)
	p := orb.Point{x, y}
	far = math.Inf(1)
	side := 1.0
	for i := 1; i < len(g.crest); i++ {
		a, b := g.crest[i-1], g.crest[i]
		d := offLine(p, a, b)
		if d >= math.Abs(far) {
			continue
		}
		t := clamp(((x-a[0])*(b[0]-a[0])+(y-a[1])*(b[1]-a[1]))/math.Pow(apart(a, b), 2), 0, 1)
		side = 1
		if (b[0]-a[0])*(y-a[1])-(b[1]-a[1])*(x-a[0]) < 0 {
			side = -1
		}
		far, crest = d, lerp(t, g.height[i-1], g.height[i])
	}
	return far * side, crest
}

// rise is what the ridge adds to the ground, m.
func (g ridge) rise(x, y float64) float64 {
	far, crest := g.nearest(x, y)
	reach := 1250.0
	if far < 0 {
		far, reach = -far, 720
	}
	return crest * math.Exp(-math.Pow(far/reach, 2)) * (1 + 0.22*g.bent.rough(x/900, y/900, 4, 0.55))
}

// hard is 1 on the quartzite and 0 off it.
func (g ridge) hard(x, y float64) float64 {
	far, crest := g.nearest(x, y)
	if far < 0 {
		far *= -1.3
	}
	return ramp(900, 450, far) * ramp(40, 90, crest)
}

// near tells whether a point lies on the hill or at its foot.
func (g ridge) near(x, y float64) bool {
	far, _ := g.nearest(x, y)
	return math.Abs(far) < 2600
}
