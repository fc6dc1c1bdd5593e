package layers

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// footprintSteps is how many pieces an edge of a grid is cut into: straight
// edges of a projected grid are curves in longitude and latitude. A piece of
// length l bends away from its chord by about l²·tan(latitude)/8R, 20 m at 45°
// for the edge of a grid of 1,000 km, and less by the square for smaller ones.
const footprintSteps = 32

// footprint is a grid's outline in longitude and latitude, 7 decimals, outer
// ring counter-clockwise, cut at the antimeridian where it crosses it (RFC 7946,
// 3.1.6 and 3.1.9); and its bounding box west, south, east, north, where west is
// greater than east across the antimeridian (5.2).
func footprint(g Grid) (map[string]any, []float64, error) {
	ring := gridRing(g)
	if err := toLonLat(ring, g.CRS); err != nil {
		return nil, nil, err
	}
	if err := unwrap(ring); err != nil {
		return nil, nil, err
	}
	b := ring.Bound()
	parts := cutAtAntimeridian(orb.Polygon{ring})
	for _, p := range parts {
		roundRing(p[0])
	}
	box := []float64{round7(wrapLon(b.Min[0])), round7(b.Min[1]), round7(wrapLon(b.Max[0])), round7(b.Max[1])}
	if len(parts) == 1 {
		return map[string]any{"type": "Polygon", "coordinates": parts[0]}, box, nil
	}
	return map[string]any{"type": "MultiPolygon", "coordinates": parts}, box, nil
}

// gridRing runs round a grid counter-clockwise from its south-west corner.
func gridRing(g Grid) orb.Ring {
	b := g.Bound(g.Window())
	corners := []orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}, b.Min}
	var ring orb.Ring
	for i := range 4 {
		from, to := corners[i], corners[i+1]
		for step := range footprintSteps {
			t := float64(step) / footprintSteps
			ring = append(ring, orb.Point{from[0] + t*(to[0]-from[0]), from[1] + t*(to[1]-from[1])})
		}
	}
	return append(ring, b.Min)
}

func toLonLat(ring orb.Ring, crs CRS) error {
	transform, err := NewTransform(crs, WGS84())
	if err != nil {
		return err
	}
	defer transform.Close()
	xs, ys := make([]float64, len(ring)), make([]float64, len(ring))
	for i, p := range ring {
		xs[i], ys[i] = p[0], p[1]
	}
	if err := transform.Points(xs, ys); err != nil {
		return err
	}
	for i := range ring {
		if !finite(xs[i]) || !finite(ys[i]) {
			return fmt.Errorf("the grid's edge at %g, %g has no longitude and latitude", ring[i][0], ring[i][1])
		}
		ring[i] = orb.Point{xs[i], ys[i]}
	}
	return nil
}

// unwrap removes the jumps of 360° from a ring that crosses the antimeridian, so
// that it runs on beyond 180° instead.
func unwrap(ring orb.Ring) error {
	for i := 1; i < len(ring); i++ {
		ring[i][0] -= 360 * math.Round((ring[i][0]-ring[i-1][0])/360)
	}
	if math.Abs(ring[len(ring)-1][0]-ring[0][0]) > 180 {
		return errors.New("the grid holds a pole, which a footprint in longitude and latitude cannot show")
	}
	if shift := 360 * math.Floor((ring.Bound().Min[0]+180)/360); shift != 0 {
		for i := range ring {
			ring[i][0] -= shift
		}
	}
	return nil
}

// cutAtAntimeridian cuts what lies east of 180° off and moves it to the west.
func cutAtAntimeridian(p orb.Polygon) orb.MultiPolygon {
	b := p.Bound()
	if b.Max[0] <= 180 {
		return orb.MultiPolygon{p}
	}
	west := clip.Polygon(orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}, p.Clone())
	east := clip.Polygon(orb.Bound{Min: orb.Point{180, -90}, Max: orb.Point{540, 90}}, p.Clone())
	for i := range east[0] {
		east[0][i][0] -= 360
	}
	return orb.MultiPolygon{west, east}
}

func roundRing(r orb.Ring) {
	for i := range r {
		r[i] = orb.Point{round7(r[i][0]), round7(r[i][1])}
	}
}

func round7(v float64) float64 { return math.Round(v*1e7) / 1e7 }

func wrapLon(lon float64) float64 {
	if lon > 180 {
		return lon - 360
	}
	return lon
}
