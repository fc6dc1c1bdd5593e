package layers

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
)

// ghostArea tells readers, right behind the header, how the file is laid out
// (GDAL's COG driver page, "Header ghost area"): each tile is preceded by its
// size and followed by a repeat of its last four bytes, so that a reader can
// fetch tiles without the tables. The last two bytes leave room to write YES.
const ghostArea = "GDAL_STRUCTURAL_METADATA_SIZE=000140 bytes\n" +
	"LAYOUT=IFDS_BEFORE_DATA\n" +
	"BLOCK_ORDER=ROW_MAJOR\n" +
	"BLOCK_LEADER=SIZE_AS_UINT4\n" +
	"BLOCK_TRAILER=LAST_4_BYTES_REPEATED\n" +
	"KNOWN_INCOMPATIBLE_EDITION=NO\n "

// tileFrame is the bytes that the ghost area promises around each tile.
const tileFrame = 8

// cogLayout is where everything goes: the header and all directories first, then
// the tiles of the smallest overview, and those of the full resolution last.
type cogLayout struct {
	big         bool
	directories [][]tiffTag
	starts      []int64 // of the directories
	tiles       []int64 // of each level's first tile frame
	head        int64   // bytes before the first tile
	size        int64   // of the file
}

// newLayout lays out a file; the offsets of the tiles are still blank.
func newLayout(levels []cogLevel, directories [][]tiffTag, big bool) cogLayout {
	l := cogLayout{big: big, directories: directories, tiles: make([]int64, len(levels))}
	at := l.firstDirectory()
	for i := range levels {
		l.directories[i] = append(slices.Clip(directories[i]), l.blankTables(&levels[i])...)
		slices.SortFunc(l.directories[i], func(a, b tiffTag) int { return cmp.Compare(a.id, b.id) })
		l.starts = append(l.starts, at)
		at += l.directorySize(l.directories[i])
	}
	l.head = at
	for i := len(levels) - 1; i >= 0; i-- {
		l.tiles[i] = at
		for _, size := range levels[i].sizes {
			if size > 0 {
				at += int64(size) + tileFrame
			}
		}
	}
	l.size = at
	return l
}

// needsBig tells whether a file without 64-bit offsets could not say where its
// tiles are.
func (l cogLayout) needsBig() bool { return !l.big && l.size > math.MaxUint32 }

func (l cogLayout) firstDirectory() int64 {
	header := 8
	if l.big {
		header = 16
	}
	return int64(even(header + len(ghostArea)))
}

func even(n int) int { return n + n%2 }

func (l cogLayout) blankTables(level *cogLevel) []tiffTag {
	offsets := tiffTag{id: tagTileOffsets, kind: tiffLong, values: make([]byte, 4*len(level.sizes))}
	if l.big {
		offsets.kind, offsets.values = tiffLong8, make([]byte, 8*len(level.sizes))
	}
	sizes := tiffTag{id: tagTileSizes, kind: tiffLong}
	for _, size := range level.sizes {
		sizes.values = binary.LittleEndian.AppendUint32(sizes.values, uint32(size))
	}
	return []tiffTag{offsets, sizes}
}

// fill writes the offsets of a level's tiles into its directory. Empty tiles
// keep the offset 0, which GDAL reads as nodata.
func (l cogLayout) fill(i int, level *cogLevel) {
	for _, tag := range l.directories[i] {
		if tag.id != tagTileOffsets {
			continue
		}
		at := l.tiles[i]
		for tile, size := range level.sizes {
			if size == 0 {
				continue
			}
			if l.big {
				binary.LittleEndian.PutUint64(tag.values[8*tile:], uint64(at+4))
			} else {
				binary.LittleEndian.PutUint32(tag.values[4*tile:], uint32(at+4))
			}
			at += int64(size) + tileFrame
		}
	}
}

// entrySizes are the bytes of a directory's count, entries, inline values and
// link: TIFF 6.0, and the BigTIFF design for 64-bit offsets.
func (l cogLayout) entrySizes() (count, entry, inline, link int) {
	if l.big {
		return 8, 20, 8, 8
	}
	return 2, 12, 4, 4
}

func (l cogLayout) directorySize(tags []tiffTag) int64 {
	count, entry, inline, link := l.entrySizes()
	size := count + entry*len(tags) + link
	for _, t := range tags {
		if len(t.values) > inline {
			size += even(len(t.values))
		}
	}
	return int64(even(size))
}
