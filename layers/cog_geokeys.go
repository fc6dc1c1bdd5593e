package layers

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"tussock/layers/internal/gdal"
)

// errTiff is wrapped where the little TIFF that carries the keys of a coordinate
// reference system cannot be read.
var errTiff = errors.New("not a TIFF that can be read")

// pickTags reads tags of the first directory of a little-endian classic TIFF,
// in the order of the file. Every offset and count is checked before it is used.
func pickTags(raw []byte, ids ...uint16) ([]tiffTag, error) {
	le := binary.LittleEndian
	if len(raw) < 8 || string(raw[:4]) != "II*\x00" {
		return nil, errTiff
	}
	at := int64(le.Uint32(raw[4:]))
	if at+2 > int64(len(raw)) {
		return nil, fmt.Errorf("%w: its directory lies beyond its end", errTiff)
	}
	count := int64(le.Uint16(raw[at:]))
	if at+2+12*count > int64(len(raw)) {
		return nil, fmt.Errorf("%w: its directory of %d entries lies beyond its end", errTiff, count)
	}
	var tags []tiffTag
	for i := range count {
		entry := raw[at+2+12*i:][:12]
		if !slices.Contains(ids, le.Uint16(entry)) {
			continue
		}
		tag, err := pickTag(raw, entry)
		if err != nil {
			return nil, err
		}
		tags = append(tags, tag)
	}
	return tags, nil
}

func pickTag(raw, entry []byte) (tiffTag, error) {
	le := binary.LittleEndian
	tag := tiffTag{id: le.Uint16(entry), kind: le.Uint16(entry[2:])}
	size := int64(le.Uint32(entry[4:])) * int64(tiffTypeSize(tag.kind))
	if size == 0 {
		return tag, fmt.Errorf("%w: tag %d is of type %d", errTiff, tag.id, tag.kind)
	}
	values := entry[8:]
	if size > 4 {
		at := int64(le.Uint32(entry[8:]))
		if at+size > int64(len(raw)) {
			return tag, fmt.Errorf("%w: tag %d lies beyond its end", errTiff, tag.id)
		}
		values = raw[at:]
	}
	tag.values = append([]byte(nil), values[:size]...)
	return tag, nil
}

// geoKeyTags are a coordinate reference system as GeoTIFF keys (OGC 19-008r4).
// GDAL encodes them, into a raster of one cell from which they are copied: it
// knows every projection's keys, and what it writes it reads back the same.
func geoKeyTags(crs CRS) ([]tiffTag, error) {
	if crs.IsZero() {
		return nil, errors.New("the grid has no coordinate reference system")
	}
	folder, err := os.MkdirTemp("", "crs-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "crs.tif")
	ds, err := gdal.Create(path, 1, 1, gdal.Byte, [6]float64{0, 1, 0, 0, 0, -1}, crs.WKT())
	if err != nil {
		return nil, err
	}
	if err := ds.Close(); err != nil {
		return nil, err
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return pickTags(raw, tagGeoKeys, tagGeoDoubles, tagGeoText)
}
