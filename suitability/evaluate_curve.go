package suitability

import "slices"

// buckets is how many equal steps a curve's span is divided into. Few buckets
// hold a knot, so the ramp that a bucket starts with is nearly always the
// right one.
const buckets = 256

// ramps is a curve with its floor and weight worked in: y + slope·(x − from)
// up to the ramp's end.
type ramps struct {
	lo, hi float64 // beyond these the curve is level
	scale  float64 // buckets per unit of measure
	first  [buckets]uint16
	list   []ramp
}

type ramp struct{ end, from, y, slope float64 }

func compileCurve(c Curve, floor, scale float64) *ramps {
	c = floored(c, floor)
	last := len(c) - 1
	s := &ramps{lo: c[0].X, hi: c[last].X, scale: buckets / (c[last].X - c[0].X)}
	for i, k := range c[:last] {
		low, high := lowFirst(k, c[i+1])
		s.list = append(s.list, ramp{
			end: c[i+1].X, from: low.X, y: low.Y * scale,
			slope: (high.Y - low.Y) / (high.X - low.X) * scale,
		})
	}
	s.list[last-1].end = maxFloat // the last ramp has no successor
	s.index()
	return s
}

const maxFloat = 0x1p1023

// index notes for each bucket the ramp that holds the least measure which
// rounding could put there.
func (s *ramps) index() {
	for b := range s.first {
		x := s.lo + (float64(b)-1e-6)/s.scale
		at := slices.IndexFunc(s.list, func(g ramp) bool { return x < g.end })
		s.first[b] = uint16(at)
	}
}

// add adds the curve at each value to dst; an unknown value adds what is
// missing. The products are rounded before they are added, so that machines
// with fused multiply-add give the same bytes.
func (s *ramps) add(dst []float64, values []float32, missing float64) {
	dst = dst[:len(values)]
	lo, hi, scale, list := s.lo, s.hi, s.scale, s.list
	for i, v := range values {
		if v != v {
			dst[i] += missing
			continue
		}
		x := float64(v)
		if x < lo {
			x = lo
		}
		if x > hi {
			x = hi
		}
		b := int((x - lo) * scale)
		if b >= buckets {
			b = buckets - 1
		}
		at := s.first[b&(buckets-1)]
		for x >= list[at].end {
			at++
		}
		g := &list[at]
		dst[i] += g.y + float64(g.slope*(x-g.from))
	}
}

func (s *ramps) scaled(by float64) *ramps {
	c := *s
	c.list = slices.Clone(s.list)
	for i := range c.list {
		c.list[i].y *= by
		c.list[i].slope *= by
	}
	return &c
}

// floored is max(curve, floor) as a curve: it gains a knot where a ramp
// crosses the floor.
func floored(c Curve, floor float64) Curve {
	var out Curve
	for i, k := range c {
		if i > 0 {
			before := c[i-1]
			if (before.Y < floor) != (k.Y < floor) && before.Y != floor && k.Y != floor {
				x := before.X + (k.X-before.X)*((floor-before.Y)/(k.Y-before.Y))
				if x > before.X && x < k.X {
					out = append(out, Knot{X: x, Y: floor})
				}
			}
		}
		out = append(out, Knot{X: k.X, Y: max(k.Y, floor)})
	}
	return out
}
