package geo

import (
	"bytes"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

func writeGeometry(b *bytes.Buffer, g orb.Geometry) error {
	fmt.Fprintf(b, `{"type":"%s","coordinates":`, g.GeoJSONType())
	if err := writeCoordinates(b, g); err != nil {
		return err
	}
	b.WriteByte('}')
	return nil
}

func writeCoordinates(b *bytes.Buffer, g orb.Geometry) error {
	switch g := g.(type) {
	case orb.Point:
		writePoint(b, round(g))
	case orb.MultiPoint:
		return writeList(b, g, func(p orb.Point) error { writePoint(b, round(p)); return nil })
	case orb.LineString:
		return writeLine(b, g)
	case orb.MultiLineString:
		return writeList(b, g, func(l orb.LineString) error { return writeLine(b, l) })
	case orb.Polygon:
		return writePolygon(b, g)
	case orb.MultiPolygon:
		return writeList(b, g, func(p orb.Polygon) error { return writePolygon(b, p) })
	default:
		return fmt.Errorf("a %s is not written here", g.GeoJSONType())
	}
	return nil
}

func writeList[T any](b *bytes.Buffer, parts []T, write func(T) error) error {
	b.WriteByte('[')
	for i, part := range parts {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := write(part); err != nil {
			return err
		}
	}
	b.WriteByte(']')
	return nil
}

func writeLine(b *bytes.Buffer, line orb.LineString) error {
	points := rounded(line)
	if len(points) < 2 {
		return fmt.Errorf("a line needs two points that differ (RFC 7946, section 3.1.4)")
	}
	return writePoints(b, points)
}

// writePolygon turns outer rings counter-clockwise and holes clockwise (RFC
// 7946, section 3.1.6).
func writePolygon(b *bytes.Buffer, polygon orb.Polygon) error {
	hole := false
	return writeList(b, polygon, func(ring orb.Ring) error {
		points := rounded(ring)
		if len(points) > 0 && points[0] != points[len(points)-1] {
			points = append(points, points[0])
		}
		if len(points) < 4 {
			return fmt.Errorf("a ring needs three points that differ (RFC 7946, section 3.1.6)")
		}
		if (planar.Area(orb.Ring(points)) < 0) != hole {
			orb.Ring(points).Reverse()
		}
		hole = true
		return writePoints(b, points)
	})
}

func writePoints(b *bytes.Buffer, points []orb.Point) error {
	return writeList(b, points, func(p orb.Point) error { writePoint(b, p); return nil })
}

func writePoint(b *bytes.Buffer, p orb.Point) {
	fmt.Fprintf(b, "[%s,%s]", number(p[0]), number(p[1]))
}

// number is a coordinate in the fewest digits; it is rounded to seven decimals.
func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func round(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]*1e7)/1e7 + 0, math.Round(p[1]*1e7)/1e7 + 0} // + 0 turns −0 to 0
}

// rounded rounds points and leaves out those that do not differ from the one
// before.
func rounded(points []orb.Point) []orb.Point {
	out := make([]orb.Point, 0, len(points))
	for _, p := range points {
		if q := round(p); len(out) == 0 || out[len(out)-1] != q {
			out = append(out, q)
		}
	}
	return out
}
