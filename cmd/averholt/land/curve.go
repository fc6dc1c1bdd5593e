package land

import (
	"math"

	"github.com/paulmach/orb"
)

func apart(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// lengthOf is the length of a line, m.
func lengthOf(path []orb.Point) float64 {
	sum := 0.0
	for i := 1; i < len(path); i++ {
		sum += apart(path[i-1], path[i])
	}
	return sum
}

// respaced walks a line in even steps; its ends stay.
func respaced(path []orb.Point, step float64) []orb.Point {
	n := max(1, int(math.Round(lengthOf(path)/step)))
	return alongEvenly(path, n)
}

// alongEvenly is n + 1 points at even distances along a line.
func alongEvenly(path []orb.Point, n int) []orb.Point {
	even := lengthOf(path) / float64(n)
	out, done, i := []orb.Point{path[0]}, 0.0, 1
	for k := 1; k < n; k++ {
		want := even * float64(k)
		for i < len(path)-1 && done+apart(path[i-1], path[i]) < want {
			done += apart(path[i-1], path[i])
			i++
		}
		t := 0.0
		if l := apart(path[i-1], path[i]); l > 0 {
			t = (want - done) / l
		}
		out = append(out, mix(path[i-1], path[i], t))
	}
	return append(out, path[len(path)-1])
}

func mix(a, b orb.Point, t float64) orb.Point {
	return orb.Point{lerp(t, a[0], b[0]), lerp(t, a[1], b[1])}
}

// smoothed moves every inner point towards the middle of its neighbours, so many
// times.
func smoothed(path []orb.Point, times int) []orb.Point {
	for range times {
		next := append([]orb.Point(nil), path...)
		for i := 1; i < len(path)-1; i++ {
			next[i] = mix(path[i], mix(path[i-1], path[i+1], 0.5), 0.5)
		}
		path = next
	}
	return path
}

// simplified leaves out points that lie within tolerance of the line without
// them (Douglas and Peucker 1973, Cartographica 10:112-122).
func simplified(path []orb.Point, tolerance float64) []orb.Point {
	if len(path) < 3 {
		return path
	}
	first, last := path[0], path[len(path)-1]
	worst, at := 0.0, 0
	for i := 1; i < len(path)-1; i++ {
		if d := offLine(path[i], first, last); d > worst {
			worst, at = d, i
		}
	}
	if worst <= tolerance {
		return []orb.Point{first, last}
	}
	head := simplified(path[:at+1], tolerance)
	return append(head[:len(head)-1:len(head)-1], simplified(path[at:], tolerance)...)
}

// offLine is how far p lies from the stretch from a to b.
func offLine(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	if dx == 0 && dy == 0 {
		return apart(p, a)
	}
	t := clamp(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy), 0, 1)
	return apart(p, mix(a, b, t))
}
