package records

import (
	"fmt"

	"tussock/layers"
)

// datumCodes are the EPSG codes of the geographic CRSs that geodeticDatum
// usually means, by their plain names (EPSG Geodetic Parameter Registry; Darwin
// Core prefers the codes themselves).
var datumCodes = map[string]string{
	"wgs84": "EPSG:4326", "wgs1984": "EPSG:4326", "worldgeodeticsystem1984": "EPSG:4326",
	"nad27": "EPSG:4267", "northamericandatum1927": "EPSG:4267",
	"nad83": "EPSG:4269", "northamericandatum1983": "EPSG:4269",
	"etrs89": "EPSG:4258", "osgb36": "EPSG:4277", "osgb1936": "EPSG:4277",
	"ed50": "EPSG:4230", "europeandatum1950": "EPSG:4230",
	"gda94": "EPSG:4283", "gda2020": "EPSG:7844", "agd66": "EPSG:4202", "agd84": "EPSG:4203",
	"nzgd49": "EPSG:4272", "nzgd2000": "EPSG:4167", "sad69": "EPSG:4618", "sirgas2000": "EPSG:4674",
	"tokyo": "EPSG:4301", "jgd2000": "EPSG:4612", "jgd2011": "EPSG:6668", "cgcs2000": "EPSG:4490", "chinageodeticcoordinatesystem2000": "EPSG:4490",
	"pulkovo1942": "EPSG:4284",
}

// unsaidDatums are the words for a datum that nobody wrote down.
var unsaidDatums = map[string]bool{"": true, "notrecorded": true, "unknown": true, "notknown": true, "none": true, "na": true}

// crsBook remembers the CRSs that a source's rows name.
type crsBook struct {
	known map[string]crsEntry
}

type crsEntry struct {
	crs layers.CRS
	err error
}

// mostCRSs bounds what one source can make the book remember.
const mostCRSs = 1000

func (b *crsBook) parse(text string) (layers.CRS, error) {
	if e, ok := b.known[text]; ok {
		return e.crs, e.err
	}
	crs, err := layers.ParseCRS(text)
	if b.known == nil {
		b.known = map[string]crsEntry{}
	}
	if len(b.known) < mostCRSs {
		b.known[text] = crsEntry{crs, err}
	}
	return crs, err
}

// datum is the CRS of longitude and latitude. One that is not written down is
// taken for WGS84, and the record says so: the true place may be off by what
// the datums differ, 5359 m at worst (Chapman & Wieczorek 2020, Georeferencing
// Best Practices).
func (b *crsBook) datum(text string) (crs layers.CRS, note string, bad *problem) {
	name := plain(text)
	if unsaidDatums[name] {
		return layers.WGS84(), noteDatum, nil
	}
	code, ok := datumCodes[name]
	if !ok {
		code = text
	}
	crs, err := b.parse(code)
	switch {
	case err != nil:
		return crs, "", &problem{UnknownDatum, fmt.Sprintf("geodeticDatum %s is not known; write its EPSG code, such as EPSG:4326", clip(text))}
	case !crs.IsGeographic():
		return crs, "", &problem{UnknownDatum, fmt.Sprintf("geodeticDatum %s is a CRS without longitude and latitude; give its coordinates as x and y with verbatimSRS", clip(text))}
	}
	return crs, "", nil
}

// The notes that records carry.
const (
	noteDatum       = "geodeticDatum is not recorded: WGS84 assumed"
	noteLocal       = "x and y taken to be in the grid's own local CRS"
	noteSourceCRS   = "verbatimSRS is not a CRS: the source's CRS taken"
	noteUncertainty = "coordinateUncertaintyInMeters is not a positive number: uncertainty unknown"
	notePrecision   = "coordinatePrecision is not a positive number: precision unknown"
	noteTooSure     = "coordinateUncertaintyInMeters is smaller than the coordinates' own decimals allow"
	noteSquare      = "uncertainty is half the diagonal of the square that places are given to"
	noteStep        = "uncertainty is what coordinatePrecision leaves open"
	noteFootprint   = "place is the middle of a footprint"
	noteCount       = "individualCount is not a whole number: count unknown"
	noteNone        = "individualCount is 0 but occurrenceStatus says present"
)
