package suitability

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
)

// A segment is what one block adds to the surfaces of one species: compressed
// tiles, ready to be joined. It is the only thing that a shard writes, so that
// a shard can be killed, run twice, or run elsewhere.
//
// The file is little-endian: the magic, the number of tiles, a table of fixed
// entries, the tiles' bytes, and a CRC-32 (Castagnoli) of all before it. A
// segment that does not end in its checksum was never finished and is computed
// again.
type segment struct {
	Tiles []segmentTile

	data []byte // what Tiles' Data lie in, for a segment that is being made
}

// reset empties a segment; its memory is used again.
func (s *segment) reset() { s.Tiles, s.data = s.Tiles[:0], s.data[:0] }

// store keeps what encode appends to a slice.
func (s *segment) store(encode func(dst []byte) []byte) []byte {
	from := len(s.data)
	s.data = encode(s.data)
	return s.data[from:len(s.data):len(s.data)]
}

// segmentTile is one compressed tile of one plane. Level 0 is full resolution,
// level 1 half of it. Data is empty where every cell is unknown.
type segmentTile struct {
	Plane Plane
	Level uint8
	Col   uint32
	Row   uint32
	Stats tileStats
	Data  []byte

	offset int64 // of Data in the file it was read from
}

// tileStats sums the known cells of a full-resolution tile. A tile is always
// summed in the same order, and tiles are joined in row order, so statistics
// do not depend on blocks or workers either.
type tileStats struct {
	Count    uint32
	Min, Max float64
	Sum, Sq  float64
}

const (
	segmentMagic = "TSKSEG01"
	entrySize    = 1 + 1 + 4 + 4 + 4 + 4*8 + 4
	// maxSegmentTiles bounds what a damaged count can make the reader allocate.
	maxSegmentTiles = 1 << 20
)

var (
	errSegment = errors.New("suitability: damaged segment")
	castagnoli = crc32.MakeTable(crc32.Castagnoli)
)

// writeTo writes a segment with its checksum.
func (s segment) writeTo(out io.Writer) error {
	sum := crc32.New(castagnoli)
	both := io.MultiWriter(out, sum)
	head := binary.LittleEndian.AppendUint32([]byte(segmentMagic), uint32(len(s.Tiles)))
	for _, t := range s.Tiles {
		head = t.appendEntry(head)
	}
	if _, err := both.Write(head); err != nil {
		return err
	}
	for _, t := range s.Tiles {
		if _, err := both.Write(t.Data); err != nil {
			return err
		}
	}
	_, err := out.Write(binary.LittleEndian.AppendUint32(nil, sum.Sum32()))
	return err
}

func (t segmentTile) appendEntry(out []byte) []byte {
	le := binary.LittleEndian
	out = append(out, byte(t.Plane), t.Level)
	out = le.AppendUint32(out, t.Col)
	out = le.AppendUint32(out, t.Row)
	out = le.AppendUint32(out, t.Stats.Count)
	for _, v := range []float64{t.Stats.Min, t.Stats.Max, t.Stats.Sum, t.Stats.Sq} {
		out = le.AppendUint64(out, floatBits(v))
	}
	return le.AppendUint32(out, uint32(len(t.Data)))
}

func decodeSegment(raw []byte) (segment, error) {
	le := binary.LittleEndian
	head := len(segmentMagic) + 4
	if len(raw) < head+4 || string(raw[:len(segmentMagic)]) != segmentMagic {
		return segment{}, fmt.Errorf("%w: too short or not a segment", errSegment)
	}
	body := raw[:len(raw)-4]
	if crc32.Checksum(body, castagnoli) != le.Uint32(raw[len(raw)-4:]) {
		return segment{}, fmt.Errorf("%w: checksum differs", errSegment)
	}
	count := int(le.Uint32(raw[len(segmentMagic):]))
	if count > maxSegmentTiles || head+count*entrySize > len(body) {
		return segment{}, fmt.Errorf("%w: %d tiles do not fit in %d bytes", errSegment, count, len(raw))
	}
	s := segment{Tiles: make([]segmentTile, count)}
	at := head + count*entrySize
	data := body[at:]
	for i := range s.Tiles {
		t, size := readEntry(body[head+i*entrySize:])
		if size > len(data) {
			return segment{}, fmt.Errorf("%w: tile %d ends beyond the file", errSegment, i)
		}
		t.Data, data = data[:size:size], data[size:]
		t.offset = int64(at)
		at += size
		s.Tiles[i] = t
	}
	return s, nil
}

func readEntry(b []byte) (segmentTile, int) {
	le := binary.LittleEndian
	t := segmentTile{Plane: Plane(b[0]), Level: b[1], Col: le.Uint32(b[2:]), Row: le.Uint32(b[6:])}
	t.Stats.Count = le.Uint32(b[10:])
	for i, v := range []*float64{&t.Stats.Min, &t.Stats.Max, &t.Stats.Sum, &t.Stats.Sq} {
		*v = bitsFloat(le.Uint64(b[14+8*i:]))
	}
	return t, int(le.Uint32(b[46:]))
}

// writeSegment publishes a segment by rename. It is not flushed to the disk: a
// segment lost with the power is computed again, as its checksum will be wrong.
func writeSegment(path string, s segment) error {
	temp, err := os.CreateTemp(filepath.Dir(path), ".part-*")
	if err != nil {
		return fmt.Errorf("suitability: %w", err)
	}
	defer os.Remove(temp.Name())
	out := bufio.NewWriterSize(temp, 1<<16)
	if err := errors.Join(s.writeTo(out), out.Flush()); err != nil {
		temp.Close()
		return fmt.Errorf("suitability: writing %s: %w", path, err)
	}
	if err := temp.Close(); err != nil {
		return fmt.Errorf("suitability: writing %s: %w", path, err)
	}
	return os.Rename(temp.Name(), path)
}

func readSegment(path string) (segment, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return segment{}, err
	}
	s, err := decodeSegment(raw)
	if err != nil {
		return segment{}, fmt.Errorf("%s: %w", path, err)
	}
	return s, nil
}
