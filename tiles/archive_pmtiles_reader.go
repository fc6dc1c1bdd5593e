package tiles

import (
	"fmt"
	"io"
	"sync"

	"github.com/paulmach/orb"
)

// Archive reads a PMTiles archive, version 3. It may be used from several
// goroutines at once.
type Archive struct {
	from   io.ReaderAt
	header pmtilesHeader
	root   []dirEntry

	mu     sync.Mutex
	leaves map[uint64][]dirEntry // by offset; the last few that were used
}

// keptLeaves is how many leaf directories an Archive keeps unpacked.
const keptLeaves = 64

// maxDepth is how many directories a look-up may pass through.
const maxDepth = 4

// OpenPMTiles opens an archive of so many bytes. Errors wrap ErrPMTiles.
func OpenPMTiles(from io.ReaderAt, size int64) (*Archive, error) {
	if size < pmtilesHeaderSize {
		return nil, fmt.Errorf("%w: %d bytes are too few", ErrPMTiles, size)
	}
	head := make([]byte, pmtilesHeaderSize)
	if _, err := from.ReadAt(head, 0); err != nil && err != io.EOF {
		return nil, fmt.Errorf("%w: %w", ErrPMTiles, err)
	}
	header, err := decodePMTilesHeader(head, size)
	if err != nil {
		return nil, err
	}
	a := &Archive{from: from, header: header, leaves: map[uint64][]dirEntry{}}
	a.root, err = a.directory(header.root)
	return a, err
}

// Zooms are the least and the greatest zoom; Bound is in degrees.
func (a *Archive) Zooms() (least, greatest int) { return int(a.header.minZoom), int(a.header.maxZoom) }

// Bound is the ground that the archive covers, in degrees.
func (a *Archive) Bound() orb.Bound { return a.header.bound }

// Metadata is the archive's JSON object.
func (a *Archive) Metadata() ([]byte, error) { return a.unpacked(a.header.metadata) }

// Tile is the bytes of one tile as they are stored; nil where there is none.
func (a *Archive) Tile(t Tile) ([]byte, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	entries := a.root
	for range maxDepth {
		e, ok := find(entries, t.ID())
		if !ok {
			return nil, nil
		}
		if e.run > 0 {
			at, err := inside(a.header.data, e)
			if err != nil {
				return nil, err
			}
			return a.bytes(at)
		}
		leaf, err := a.leaf(e)
		if err != nil {
			return nil, err
		}
		entries = leaf
	}
	return nil, fmt.Errorf("%w: directories are nested more than %d deep", ErrPMTiles, maxDepth)
}

// leaf is a leaf directory, from those kept where it can be.
func (a *Archive) leaf(e dirEntry) ([]dirEntry, error) {
	at, err := inside(a.header.leaves, e)
	if err != nil {
		return nil, err
	}
	a.mu.Lock()
	known, ok := a.leaves[at.offset]
	a.mu.Unlock()
	if ok {
		return known, nil
	}
	entries, err := a.directory(at)
	if err != nil {
		return nil, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if len(a.leaves) >= keptLeaves {
		clear(a.leaves)
	}
	a.leaves[at.offset] = entries
	return entries, nil
}

// inside is where an entry's bytes lie in the file, checked against the section
// that they must lie in.
func inside(s section, e dirEntry) (section, error) {
	if e.offset > s.length || uint64(e.length) > s.length-e.offset {
		return section{}, fmt.Errorf("%w: the entry of tile id %d reaches beyond its section", ErrPMTiles, e.id)
	}
	return section{s.offset + e.offset, uint64(e.length)}, nil
}

func (a *Archive) directory(at section) ([]dirEntry, error) {
	b, err := a.unpacked(at)
	if err != nil {
		return nil, err
	}
	return decodeDirectory(b)
}

func (a *Archive) unpacked(at section) ([]byte, error) {
	if at.length > maxUnzipped {
		return nil, fmt.Errorf("%w: a directory of %d bytes is too large", ErrPMTiles, at.length)
	}
	b, err := a.bytes(at)
	if err != nil || a.header.internalCompression == compressionNone {
		return b, err
	}
	return unzipped(b)
}

// bytes reads a part that is known to lie inside the file.
func (a *Archive) bytes(at section) ([]byte, error) {
	b := make([]byte, at.length)
	if n, err := a.from.ReadAt(b, int64(at.offset)); n < len(b) {
		return nil, fmt.Errorf("%w: %w", ErrPMTiles, err)
	}
	return b, nil
}
