package tiles

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"sort"

	"github.com/klauspost/compress/gzip"
)

// dirEntry is one entry of a directory: run tiles from id on that share one
// content, or, where run is 0, the leaf directory that starts with id.
type dirEntry struct {
	id, offset  uint64
	length, run uint32
}

// leafEntries is how many entries a leaf directory gets at first.
const leafEntries = 4096

// directories lays out a root of at most limit bytes and the leaves behind it;
// without leaves where all entries fit into the root.
func directories(entries []dirEntry, limit int) (root, leaves []byte, err error) {
	if root, err = encodeDirectory(entries); err != nil || len(root) <= limit {
		return root, nil, err
	}
	for per := leafEntries; ; per += per / 5 {
		var tops []dirEntry
		leaves = leaves[:0]
		for first := 0; first < len(entries); first += per {
			leaf, err := encodeDirectory(entries[first:min(first+per, len(entries))])
			if err != nil {
				return nil, nil, err
			}
			tops = append(tops, dirEntry{id: entries[first].id, offset: uint64(len(leaves)), length: uint32(len(leaf))})
			leaves = append(leaves, leaf...)
		}
		if root, err = encodeDirectory(tops); err != nil || len(root) <= limit {
			return root, leaves, err
		}
	}
}

// encodeDirectory writes the count, the steps between ids, the runs, the lengths
// and the offsets as varints, gzipped. Offset 0 says: right after the entry
// before; any other is one more than the offset.
func encodeDirectory(entries []dirEntry) ([]byte, error) {
	b := binary.AppendUvarint(nil, uint64(len(entries)))
	last := uint64(0)
	for _, e := range entries {
		b = binary.AppendUvarint(b, e.id-last)
		last = e.id
	}
	for _, e := range entries {
		b = binary.AppendUvarint(b, uint64(e.run))
	}
	for _, e := range entries {
		b = binary.AppendUvarint(b, uint64(e.length))
	}
	for i, e := range entries {
		if i > 0 && e.offset == entries[i-1].offset+uint64(entries[i-1].length) {
			b = append(b, 0)
			continue
		}
		b = binary.AppendUvarint(b, e.offset+1)
	}
	return zipped(b)
}

func zipped(b []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	if _, err := w.Write(b); err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	return out.Bytes(), nil
}

// maxUnzipped bounds what a directory or the metadata may unpack to.
const maxUnzipped = 16 << 20

func unzipped(b []byte) ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(b))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPMTiles, err)
	}
	out, err := io.ReadAll(io.LimitReader(r, maxUnzipped+1))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPMTiles, err)
	}
	if len(out) > maxUnzipped {
		return nil, fmt.Errorf("%w: a directory unpacks to more than %d bytes", ErrPMTiles, maxUnzipped)
	}
	return out, nil
}

// decodeDirectory reads an unpacked directory. The count is believed only as
// far as the bytes behind it can hold that many entries.
func decodeDirectory(b []byte) ([]dirEntry, error) {
	r := varints{rest: b}
	count := r.next(math.MaxUint64)
	if r.bad || count > uint64(len(r.rest))/4 {
		return nil, fmt.Errorf("%w: a directory of %d bytes claims %d entries", ErrPMTiles, len(b), count)
	}
	entries := make([]dirEntry, count)
	last := uint64(0)
	for i := range entries {
		step := r.next(math.MaxUint64 - last)
		if i > 0 && step == 0 {
			r.bad = true
		}
		last += step
		entries[i].id = last
	}
	for i := range entries {
		entries[i].run = uint32(r.next(min(math.MaxUint32, math.MaxUint64-entries[i].id)))
	}
	for i := range entries {
		entries[i].length = uint32(r.next(math.MaxUint32))
	}
	for i := range entries {
		offset := r.next(math.MaxInt64)
		switch {
		case offset > 0:
			entries[i].offset = offset - 1
		case i > 0:
			entries[i].offset = entries[i-1].offset + uint64(entries[i-1].length)
		default:
			r.bad = true
		}
	}
	if r.bad {
		return nil, fmt.Errorf("%w: a directory of %d entries is cut short or out of order", ErrPMTiles, count)
	}
	return entries, nil
}

// varints reads unsigned varints; bad once one was missing or too large.
type varints struct {
	rest []byte
	bad  bool
}

func (r *varints) next(most uint64) uint64 {
	v, n := binary.Uvarint(r.rest)
	if n <= 0 || v > most {
		r.bad = true
		return 0
	}
	r.rest = r.rest[n:]
	return v
}

// find is the entry that holds a tile, or the leaf where it would be.
func find(entries []dirEntry, id uint64) (dirEntry, bool) {
	i := sort.Search(len(entries), func(i int) bool { return entries[i].id > id }) - 1
	if i < 0 {
		return dirEntry{}, false
	}
	e := entries[i]
	return e, e.run == 0 || id-e.id < uint64(e.run)
}
