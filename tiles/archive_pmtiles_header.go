package tiles

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// ErrPMTiles is wrapped by every error about a broken PMTiles archive.
var ErrPMTiles = errors.New("tiles: not a usable PMTiles archive")

// Numbers of the PMTiles specification, version 3.
const (
	pmtilesHeaderSize = 127
	pmtilesRootEnd    = 16384 // header and root directory lie before this byte

	compressionNone = 1
	compressionGzip = 2
	tileTypePNG     = 2
)

// section is a part of an archive.
type section struct{ offset, length uint64 }

// pmtilesHeader is the fixed head of an archive.
type pmtilesHeader struct {
	root, metadata, leaves, data           section
	addressed, entries, contents           uint64
	clustered                              bool
	internalCompression, tileCompression   uint8
	tileType, minZoom, maxZoom, centreZoom uint8
	bound                                  orb.Bound
	centre                                 orb.Point
}

// place lays the sections one behind the other.
func (h *pmtilesHeader) place(root, metadata, leaves int, data uint64) {
	at := uint64(pmtilesHeaderSize)
	for _, part := range []struct {
		to     *section
		length uint64
	}{{&h.root, uint64(root)}, {&h.metadata, uint64(metadata)}, {&h.leaves, uint64(leaves)}, {&h.data, data}} {
		*part.to = section{at, part.length}
		at += part.length
	}
}

func (h *pmtilesHeader) encode() []byte {
	b := append([]byte("PMTiles"), 3)
	for _, v := range []uint64{h.root.offset, h.root.length, h.metadata.offset, h.metadata.length,
		h.leaves.offset, h.leaves.length, h.data.offset, h.data.length, h.addressed, h.entries, h.contents} {
		b = binary.LittleEndian.AppendUint64(b, v)
	}
	clustered := byte(0)
	if h.clustered {
		clustered = 1
	}
	b = append(b, clustered, h.internalCompression, h.tileCompression, h.tileType, h.minZoom, h.maxZoom)
	b = appendDegrees(b, h.bound.Min)
	b = appendDegrees(b, h.bound.Max)
	b = append(b, h.centreZoom)
	return appendDegrees(b, h.centre)
}

// appendDegrees adds a point as two 32-bit numbers of 1e-7 degrees.
func appendDegrees(b []byte, p orb.Point) []byte {
	for _, v := range p {
		b = binary.LittleEndian.AppendUint32(b, uint32(int32(math.Round(v*1e7))))
	}
	return b
}

// decodePMTilesHeader reads the head of an archive of so many bytes and checks
// that its sections lie within it.
func decodePMTilesHeader(b []byte, size int64) (h pmtilesHeader, err error) {
	if len(b) < pmtilesHeaderSize || string(b[:7]) != "PMTiles" {
		return h, fmt.Errorf("%w: it does not start with a PMTiles header", ErrPMTiles)
	}
	if b[7] != 3 {
		return h, fmt.Errorf("%w: version %d is not 3", ErrPMTiles, b[7])
	}
	at := 8
	for _, to := range []*uint64{&h.root.offset, &h.root.length, &h.metadata.offset, &h.metadata.length,
		&h.leaves.offset, &h.leaves.length, &h.data.offset, &h.data.length, &h.addressed, &h.entries, &h.contents} {
		*to = binary.LittleEndian.Uint64(b[at:])
		at += 8
	}
	h.clustered, h.internalCompression, h.tileCompression = b[96] == 1, b[97], b[98]
	h.tileType, h.minZoom, h.maxZoom = b[99], b[100], b[101]
	h.bound = orb.Bound{Min: degreesAt(b[102:]), Max: degreesAt(b[110:])}
	h.centreZoom, h.centre = b[118], degreesAt(b[119:])
	return h, h.check(uint64(size))
}

func degreesAt(b []byte) (p orb.Point) {
	for i := range p {
		p[i] = float64(int32(binary.LittleEndian.Uint32(b[4*i:]))) / 1e7
	}
	return p
}

func (h *pmtilesHeader) check(size uint64) error {
	names := [...]string{"root directory", "metadata", "leaf directories", "tile data"}
	for i, s := range []section{h.root, h.metadata, h.leaves, h.data} {
		if s.offset > size || s.length > size-s.offset {
			return fmt.Errorf("%w: its %s (%d bytes from byte %d) reach beyond the file's %d bytes",
				ErrPMTiles, names[i], s.length, s.offset, size)
		}
	}
	switch {
	case h.root.offset+h.root.length > pmtilesRootEnd:
		return fmt.Errorf("%w: its root directory ends after byte %d", ErrPMTiles, pmtilesRootEnd)
	case h.internalCompression != compressionNone && h.internalCompression != compressionGzip:
		return fmt.Errorf("%w: its directories are compressed in a way (%d) that is not read here", ErrPMTiles, h.internalCompression)
	case h.minZoom > h.maxZoom || h.maxZoom > MaxZoom:
		return fmt.Errorf("%w: zooms %d to %d", ErrPMTiles, h.minZoom, h.maxZoom)
	}
	return nil
}
