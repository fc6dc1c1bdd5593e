package layers

import (
	"encoding/binary"
	"image/color"
	"math"
)

// The TIFF tags in use, by their numbers: TIFF 6.0; TIFF Technical Note 3
// (its predictor 3); OGC 19-008r4, GeoTIFF (33550 to 34737); GDAL's own 42112 and
// 42113.
const (
	tagSubfileType  = 254
	tagWidth        = 256
	tagLength       = 257
	tagBits         = 258
	tagCompression  = 259
	tagPhotometric  = 262
	tagSamples      = 277
	tagPlanar       = 284
	tagPredictor    = 317
	tagColourMap    = 320
	tagTileWidth    = 322
	tagTileLength   = 323
	tagTileOffsets  = 324
	tagTileSizes    = 325
	tagSampleFormat = 339
	tagPixelScale   = 33550
	tagTiepoint     = 33922
	tagGeoKeys      = 34735
	tagGeoDoubles   = 34736
	tagGeoText      = 34737
	tagMetadata     = 42112
	tagNodata       = 42113
)

// The TIFF types of values.
const (
	tiffASCII  = 2
	tiffShort  = 3
	tiffLong   = 4
	tiffDouble = 12
	tiffLong8  = 16
)

func tiffTypeSize(kind uint16) int {
	switch kind {
	case 1, tiffASCII:
		return 1
	case tiffShort:
		return 2
	case tiffLong:
		return 4
	case tiffDouble, tiffLong8:
		return 8
	}
	return 0
}

// tiffTag is one entry of an image file directory, its values little-endian.
type tiffTag struct {
	id, kind uint16
	values   []byte
}

func (t tiffTag) count() int { return len(t.values) / tiffTypeSize(t.kind) }

func shortTag(id uint16, values ...uint16) tiffTag {
	t := tiffTag{id: id, kind: tiffShort}
	for _, v := range values {
		t.values = binary.LittleEndian.AppendUint16(t.values, v)
	}
	return t
}

func longTag(id uint16, values ...uint32) tiffTag {
	t := tiffTag{id: id, kind: tiffLong}
	for _, v := range values {
		t.values = binary.LittleEndian.AppendUint32(t.values, v)
	}
	return t
}

func doubleTag(id uint16, values ...float64) tiffTag {
	t := tiffTag{id: id, kind: tiffDouble}
	for _, v := range values {
		t.values = binary.LittleEndian.AppendUint64(t.values, math.Float64bits(v))
	}
	return t
}

func textTag(id uint16, text string) tiffTag {
	return tiffTag{id: id, kind: tiffASCII, values: append([]byte(text), 0)}
}

// paletteTag is the colour map: all reds, all greens, all blues, 16 bits each.
func paletteTag(colours []color.NRGBA) tiffTag {
	values := make([]uint16, 3*len(colours))
	for i, c := range colours {
		for band, v := range [3]uint8{c.R, c.G, c.B} {
			values[band*len(colours)+i] = 257 * uint16(v)
		}
	}
	return shortTag(tagColourMap, values...)
}

// directory is the tags of one level, without the tables of tiles.
func (s CogSpec) directory(l *cogLevel, colours []color.NRGBA) []tiffTag {
	photometric, format, predictor, nodata := uint16(1), uint16(1), uint16(2), number(float64(s.Nodata))
	if colours != nil {
		photometric = 3
	}
	if s.Cells == CogFloats {
		format, predictor, nodata = 3, 3, "nan"
	}
	tags := []tiffTag{
		longTag(tagWidth, uint32(l.cols)), longTag(tagLength, uint32(l.rows)),
		shortTag(tagBits, uint16(8*s.Cells.size())), shortTag(tagCompression, 8),
		shortTag(tagPhotometric, photometric), shortTag(tagSamples, 1), shortTag(tagPlanar, 1),
		shortTag(tagPredictor, predictor), shortTag(tagTileWidth, TileSide), shortTag(tagTileLength, TileSide),
		shortTag(tagSampleFormat, format), textTag(tagNodata, nodata),
	}
	if colours != nil {
		tags = append(tags, paletteTag(colours))
	}
	if l.spans != nil {
		tags = append(tags, longTag(tagSubfileType, 1)) // a reduced version of another image
	}
	return tags
}

// placeTags put the cells on the ground: the north-west corner of the
// north-west cell, and the cell's size.
func (s CogSpec) placeTags() []tiffTag {
	return []tiffTag{
		doubleTag(tagPixelScale, s.Grid.Cell, s.Grid.Cell, 0),
		doubleTag(tagTiepoint, 0, 0, 0, s.Grid.West, s.Grid.North, 0),
	}
}
