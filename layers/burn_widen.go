package layers

import (
	"iter"
	"math"

	"github.com/paulmach/orb"
)

// circleSides is how many sides stand for a circle.
const circleSides = 64

// widened is a line as a strip of a width of twice radius: a rectangle for each
// segment, ends flat, so that a straight line covers its length times the
// width; and, at each bend, the wedge that closes the outer side, round. The
// pieces overlap.
func widened(line orb.LineString, radius float64) iter.Seq[orb.Ring] {
	return func(yield func(orb.Ring) bool) {
		var bend, before orb.Point // the last vertex and the direction towards it
		started := false
		for i := 1; i < len(line); i++ {
			p, q := line[i-1], line[i]
			length := math.Hypot(q[0]-p[0], q[1]-p[1])
			if length == 0 {
				continue
			}
			d := orb.Point{(q[0] - p[0]) / length, (q[1] - p[1]) / length}
			if started && d != before && !yield(wedge(bend, before, d, radius)) {
				return
			}
			if !yield(widenedSegment(p, q, d, radius)) {
				return
			}
			bend, before, started = q, d, true
		}
		if d, ok := firstDirection(line); ok && started && line[0] == line[len(line)-1] && d != before {
			yield(wedge(bend, before, d, radius))
		}
	}
}

// firstDirection is the direction in which a line sets out.
func firstDirection(line orb.LineString) (d orb.Point, ok bool) {
	for i := 1; i < len(line); i++ {
		p, q := line[i-1], line[i]
		if length := math.Hypot(q[0]-p[0], q[1]-p[1]); length > 0 {
			return orb.Point{(q[0] - p[0]) / length, (q[1] - p[1]) / length}, true
		}
	}
	return d, false
}

// widenedSegment is the rectangle around a segment of direction d.
func widenedSegment(p, q, d orb.Point, radius float64) orb.Ring {
	u, v := -d[1]*radius, d[0]*radius
	return turned(orb.Ring{{p[0] + u, p[1] + v}, {q[0] + u, q[1] + v}, {q[0] - u, q[1] - v}, {p[0] - u, p[1] - v}, {p[0] + u, p[1] + v}})
}

// wedge is the sector around a bend on the outer side, between the normals of
// the directions before and after.
func wedge(at, before, after orb.Point, radius float64) orb.Ring {
	turn := math.Atan2(before[0]*after[1]-before[1]*after[0], before[0]*after[0]+before[1]*after[1])
	side := 1.0
	if turn > 0 {
		side = -1 // the bend turns towards greater angles: the gap is on the other side
	}
	start := math.Atan2(side*before[0], -side*before[1])
	steps := max(1, int(math.Ceil(math.Abs(turn)/(2*math.Pi/circleSides))))
	ring := orb.Ring{at}
	for i := range steps + 1 {
		sin, cos := math.Sincos(start + turn*float64(i)/float64(steps))
		ring = append(ring, orb.Point{at[0] + radius*cos, at[1] + radius*sin})
	}
	return turned(append(ring, at))
}

// discRing is the regular polygon of the circle's area.
func discRing(at orb.Point, radius float64) orb.Ring {
	step := 2 * math.Pi / circleSides
	r := radius * math.Sqrt(step/math.Sin(step))
	ring := make(orb.Ring, 0, circleSides+1)
	for i := range circleSides {
		sin, cos := math.Sincos(step * float64(i))
		ring = append(ring, orb.Point{at[0] + r*cos, at[1] + r*sin})
	}
	return turned(append(ring, ring[0]))
}

// turned makes a ring run the way that outer rings do.
func turned(r orb.Ring) orb.Ring {
	if signedArea(r) > 0 {
		r.Reverse()
	}
	return r
}
