package sheet

import (
	"image/color"

	"github.com/paulmach/orb"
)

// drawPools draws water that is known by a point as a small round pool.
func (p pen) drawPools(f frame, marks []Mark) {
	for _, m := range marks {
		if m.Symbol != Water {
			continue
		}
		for _, g := range m.Shapes {
			for _, at := range pointsOf(g) {
				p.pool(f.pixel(at))
			}
		}
	}
}

// poolRadius is that of a small pool's sign, in points.
const poolRadius = 1.1

func (p pen) pool(x, y float64) {
	for _, ring := range []struct {
		more   float64
		colour color.NRGBA
	}{{0.9, rim}, {0.45, wet}, {0, pool}} {
		p.DrawCircle(x, y, (poolRadius+ring.more)*p.point)
		p.SetColor(ring.colour)
		p.Fill()
	}
}

func pointsOf(g orb.Geometry) []orb.Point {
	switch g := g.(type) {
	case orb.Point:
		return []orb.Point{g}
	case orb.MultiPoint:
		return g
	}
	return nil
}
