package suitability

import (
	"math"
	"slices"
)

// buckets is how many equal steps a curve's span is divided into.
const buckets = 256

// ramps is a curve with its floor and weight worked in. Most buckets lie within
// one straight piece and hold it; one that holds a knot is marked by a slope of
// NaN and sends its values to search the list.
type ramps struct {
	lo          float64 // the first knot; below it and above the last the curve is level
	scale       float64 // buckets per unit of measure
	below, over float64 // the level parts
	direct      [buckets]ramp
	list        []ramp
}

// ramp is the piece y + slope·(x − from) below the measure end.
type ramp struct{ from, y, slope, end float64 }

func (r *ramp) at(x float64) float64 { return r.y + float64(r.slope*(x-r.from)) }

func compileCurve(c Curve, floor, scale float64) *ramps {
	c = floored(c, floor)
	first, last := c[0], c[len(c)-1]
	s := &ramps{lo: first.X, scale: buckets / (last.X - first.X), below: first.Y * scale, over: last.Y * scale}
	for i, k := range c[:len(c)-1] {
		low, high := lowFirst(k, c[i+1])
		s.list = append(s.list, ramp{
			from: low.X, y: low.Y * scale, end: c[i+1].X,
			slope: (high.Y - low.Y) / (high.X - low.X) * scale,
		})
	}
	s.fill()
	return s
}

// fill finds each bucket's piece, with room for rounding at the bucket's ends.
func (s *ramps) fill() {
	for b := range s.direct {
		left, right := s.lo+(float64(b)-1e-6)/s.scale, s.lo+(float64(b)+1+1e-6)/s.scale
		s.direct[b] = *s.find(left)
		if s.find(right) != s.find(left) {
			s.direct[b].slope = math.NaN()
		}
	}
}

// find is the piece that holds a measure, the last one for those beyond.
func (s *ramps) find(x float64) *ramp {
	for i := range s.list {
		if x < s.list[i].end {
			return &s.list[i]
		}
	}
	return &s.list[len(s.list)-1]
}

// add adds the curve at each value to dst; an unknown value adds what is
// missing. The products are rounded before they are added, so that machines
// with fused multiply-add give the same bytes.
func (s *ramps) add(dst []float64, values []float32, missing float64) {
	dst = dst[:len(values)]
	lo, scale, below, over := s.lo, s.scale, s.below, s.over
	for i, v := range values {
		x := float64(v)
		step := (x - lo) * scale
		var y float64
		switch {
		case step >= buckets:
			y = over
		case step >= 0:
			if y = s.direct[uint8(step)].at(x); y != y {
				y = s.find(x).at(x)
			}
		case step < 0:
			y = below
		default:
			y = missing
		}
		dst[i] += y
	}
}

func (s *ramps) scaled(by float64) *ramps {
	c := *s
	c.list = slices.Clone(s.list)
	c.below *= by
	c.over *= by
	for i := range c.list {
		c.list[i].y *= by
		c.list[i].slope *= by
	}
	c.fill()
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
