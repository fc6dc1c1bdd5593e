package records

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"tussock/layers"
)

// placer finds where rows are, before their points are brought to the grid.
type placer struct {
	columns      *columns
	to           layers.CRS
	sourceCRS    *layers.CRS // what the project says of x and y
	geometryCRS  layers.CRS  // of a vector source
	decimalComma bool
	book         crsBook
}

// place is a row's place as its source gives it.
type place struct {
	at         orb.Point
	crs        layers.CRS
	resolution float64 // metres; 0 where unknown
	radius     float64 // metres from at to the edge of a footprint
	notes      []string
}

// find takes, in this order: the row's geometry; x and y in a known CRS, which
// are nearer to what was read off in the field; longitude and latitude; a
// footprint.
func (p *placer) find(r row) (place, *problem) {
	if r.geometry != nil {
		return p.footprint(r.geometry, p.geometryCRS)
	}
	x, y := p.columns.pair(r.cells, termX, termY)
	lon, lat := p.columns.pair(r.cells, termLongitude, termLatitude)
	hasXY, hasLonLat := x != "" || y != "", lon != "" || lat != ""
	footprint := p.columns.get(r.cells, termFootprint)
	if hasXY {
		crs, note, bad := p.crsOfXY(r)
		if bad == nil || !hasLonLat && footprint == "" {
			return p.fromXY(x, y, crs, note, bad)
		}
	}
	switch {
	case hasLonLat:
		return p.fromLonLat(lon, lat, r)
	case footprint != "":
		return p.fromFootprint(footprint, r)
	}
	return place{}, &problem{MissingCoordinate, "the row has no place: neither decimalLongitude and decimalLatitude nor x and y"}
}

// crsOfXY is the CRS of a row's x and y: the row's own where it names one, else
// the source's. On a local grid nothing else could be brought to the grid, so
// words such as "plot metres" are taken for the grid's own CRS.
func (p *placer) crsOfXY(r row) (crs layers.CRS, note string, bad *problem) {
	text := p.columns.get(r.cells, termSRS)
	if text != "" {
		if crs, err := p.book.parse(text); err == nil {
			return crs, "", nil
		}
		note = noteSourceCRS
	}
	switch {
	case p.sourceCRS != nil:
		return *p.sourceCRS, note, nil
	case p.to.IsLocal():
		return p.to, noteLocal, nil
	case text != "":
		return crs, "", &problem{UnknownCRS, fmt.Sprintf("verbatimSRS %s is not a CRS; write its EPSG code, or name the source's crs", clip(text))}
	}
	return crs, "", &problem{UnknownCRS, "x and y have no CRS; fill verbatimSRS, or name the source's crs"}
}

func (p *placer) fromXY(x, y string, crs layers.CRS, note string, bad *problem) (place, *problem) {
	at, pointBad := p.point("x", x, "y", y)
	if pointBad != nil {
		return place{}, pointBad
	}
	if bad != nil {
		return place{}, bad
	}
	return checked(place{at: at, crs: crs, notes: noted(note)})
}

func (p *placer) fromLonLat(lon, lat string, r row) (place, *problem) {
	at, bad := p.point("decimalLongitude", lon, "decimalLatitude", lat)
	if bad != nil {
		return place{}, bad
	}
	crs, note, bad := p.book.datum(p.columns.get(r.cells, termDatum))
	if bad != nil {
		return place{}, bad
	}
	steps := max(decimals(lon), decimals(lat))
	return checked(place{at: at, crs: crs, resolution: resolution(steps, at[1]), notes: noted(note)})
}

// point reads two coordinates.
func (p *placer) point(xName, x, yName, y string) (orb.Point, *problem) {
	var at orb.Point
	for i, c := range []struct{ name, text, other string }{{xName, x, yName}, {yName, y, xName}} {
		if c.text == "" {
			return at, &problem{MissingCoordinate, fmt.Sprintf("%s is empty while %s is not", c.name, c.other)}
		}
		v, bad := parseNumber(c.text, p.decimalComma)
		if bad != nil {
			return at, &problem{bad.reason, c.name + " " + bad.words}
		}
		at[i] = v
	}
	return at, nil
}

// checked refuses places that cannot be. 0, 0 is a real corner in a local CRS
// only.
func checked(p place) (place, *problem) {
	lon, lat := p.at[0], p.at[1]
	switch {
	case math.IsNaN(lon-lat) || math.IsInf(lon, 0) || math.IsInf(lat, 0):
		return p, &problem{NotFinite, "the place has a coordinate that is not finite"}
	case lon == 0 && lat == 0 && !p.crs.IsLocal():
		return p, &problem{ZeroCoordinate, "both coordinates are 0, which usually stands for a blank"}
	case !p.crs.IsGeographic():
		return p, nil
	case math.Abs(lat) > 90 && math.Abs(lon) <= 90 && math.Abs(lat) <= 180:
		return p, &problem{OutOfBounds, fmt.Sprintf("latitude %g is beyond 90°; are longitude and latitude swapped?", lat)}
	case math.Abs(lat) > 90:
		return p, &problem{OutOfBounds, fmt.Sprintf("latitude %g is beyond 90°", lat)}
	case math.Abs(lon) > 180:
		return p, &problem{OutOfBounds, fmt.Sprintf("longitude %g is beyond 180°", lon)}
	}
	return p, nil
}

func noted(note string) []string {
	if note == "" {
		return nil
	}
	return []string{note}
}
