package records

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
	"tussock/layers"
)

// fromFootprint reads footprintWKT, in footprintSRS or else in the source's CRS.
func (p *placer) fromFootprint(text string, r row) (place, *problem) {
	geometry, err := wkt.Unmarshal(text)
	if err != nil {
		return place{}, &problem{BadGeometry, fmt.Sprintf("footprintWKT %s is no well-known text", clip(text))}
	}
	crs, bad := p.footprintCRS(r)
	if bad != nil {
		return place{}, bad
	}
	return p.footprint(geometry, crs)
}

func (p *placer) footprintCRS(r row) (layers.CRS, *problem) {
	if text := p.columns.get(r.cells, termFootprintSRS); text != "" {
		if crs, _, bad := p.book.datum(text); bad == nil {
			return crs, nil
		}
		crs, err := p.book.parse(text)
		if err != nil {
			return crs, &problem{UnknownCRS, fmt.Sprintf("footprintSRS %s is not a CRS; write its EPSG code", clip(text))}
		}
		return crs, nil
	}
	switch {
	case p.sourceCRS != nil:
		return *p.sourceCRS, nil
	case p.to.IsLocal():
		return p.to, nil
	}
	return layers.WGS84(), nil
}

// footprint places a geometry: a point as it is, everything else at the middle
// of its bound with half the diagonal as its radius.
func (p *placer) footprint(geometry orb.Geometry, crs layers.CRS) (place, *problem) {
	if point, ok := geometry.(orb.Point); ok {
		return checked(place{at: point, crs: crs})
	}
	if many, ok := geometry.(orb.MultiPoint); ok && len(many) == 1 {
		return checked(place{at: many[0], crs: crs})
	}
	bound := geometry.Bound()
	if bound.IsEmpty() {
		return place{}, &problem{BadGeometry, "the geometry is empty"}
	}
	middle := place{at: bound.Center(), crs: crs, notes: noted(noteFootprint)}
	middle, bad := checked(middle)
	if bad != nil {
		return middle, bad
	}
	if crs.IsGeographic() {
		middle.radius = layers.GeodesicDistance(middle.at, bound.Min)
		middle.radius = max(middle.radius, layers.GeodesicDistance(middle.at, bound.Max))
	} else if crs.Metre() {
		middle.radius = math.Hypot(bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]) / 2
	}
	return middle, nil
}
