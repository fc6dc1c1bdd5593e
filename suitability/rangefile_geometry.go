package suitability

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// geometry checks a feature's polygons where they were drawn, mends them if it
// may, and brings them to the grid's CRS.
func (r *rangeReader) geometry(g orb.Geometry) (orb.MultiPolygon, error) {
	drawn, err := polygonsOf(g)
	if err != nil {
		return nil, err
	}
	if err := r.valid(&drawn); err != nil {
		return nil, err
	}
	moved, err := r.transform.Geometry(drawn)
	if err != nil {
		return nil, err
	}
	return polygonsOf(moved)
}

func (r *rangeReader) valid(drawn *orb.MultiPolygon) error {
	reason, at, ok := openRing(*drawn)
	if ok {
		reason, at, ok = layers.ValidateGeometry(*drawn)
	}
	if ok {
		return nil
	}
	if !r.source.Repair {
		return fmt.Errorf("its polygon is not valid: %s at %.9g, %.9g\nhint: mend it where it was drawn, or set repair: true", reason, at[0], at[1])
	}
	mended, err := layers.RepairGeometry(closedRings(*drawn))
	if err != nil {
		return err
	}
	*drawn, err = polygonsOf(mended)
	return err
}

// openRing finds a ring that does not end where it starts.
func openRing(m orb.MultiPolygon) (reason string, at orb.Point, ok bool) {
	for _, polygon := range m {
		for _, ring := range polygon {
			if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
				return "a ring is not closed", ring[len(ring)-1], false
			}
		}
	}
	return "", orb.Point{}, true
}

func closedRings(m orb.MultiPolygon) orb.MultiPolygon {
	closed := m.Clone()
	for _, polygon := range closed {
		for i, ring := range polygon {
			if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
				polygon[i] = append(ring, ring[0])
			}
		}
	}
	return closed
}

// polygonsOf is a geometry as polygons. Points and lines, which a repair can
// leave behind in a collection, have no area and are left out there; a feature
// of nothing else is an error.
func polygonsOf(g orb.Geometry) (orb.MultiPolygon, error) {
	switch g := g.(type) {
	case nil:
		return nil, errors.New("it has no geometry")
	case orb.Polygon:
		return orb.MultiPolygon{g}, nil
	case orb.MultiPolygon:
		if len(g) > 0 {
			return g, nil
		}
	case orb.Collection:
		var all orb.MultiPolygon
		for _, part := range g {
			if polygons, err := polygonsOf(part); err == nil {
				all = append(all, polygons...)
			}
		}
		if len(all) > 0 {
			return all, nil
		}
	default:
		return nil, fmt.Errorf("its geometry is a %s where a polygon is needed", g.GeoJSONType())
	}
	return nil, errors.New("its geometry has no polygon")
}
