package layers

import (
	"bytes"
	"fmt"
	"os"
)

// storeLimit is how many compressed bytes of overviews one writer keeps in
// memory (the rasters of a surface are put together at the same time); what
// comes after goes to a temporary file.
const storeLimit = 16 << 20

// cogStore keeps compressed overview tiles until the file is written.
type cogStore struct {
	limit  int64
	held   int64
	file   *os.File
	onDisk int64
}

// cogSpan is where a store keeps one tile: in memory, or in its file.
type cogSpan struct {
	data   []byte
	offset int64
}

func (s *cogStore) add(tile []byte) (cogSpan, error) {
	if len(tile) == 0 {
		return cogSpan{}, nil
	}
	if s.held+int64(len(tile)) <= s.limit {
		s.held += int64(len(tile))
		return cogSpan{data: bytes.Clone(tile)}, nil
	}
	if s.file == nil {
		if err := s.open(); err != nil {
			return cogSpan{}, err
		}
	}
	if _, err := s.file.WriteAt(tile, s.onDisk); err != nil {
		return cogSpan{}, fmt.Errorf("layers: keeping overview tiles: %w", err)
	}
	span := cogSpan{offset: s.onDisk}
	s.onDisk += int64(len(tile))
	return span, nil
}

// open makes the temporary file and takes its name away at once, so that
// nothing is left behind however the program ends.
func (s *cogStore) open() error {
	file, err := os.CreateTemp("", "overviews-*")
	if err != nil {
		return fmt.Errorf("layers: keeping overview tiles: %w", err)
	}
	if err := os.Remove(file.Name()); err != nil {
		file.Close()
		return fmt.Errorf("layers: keeping overview tiles: %w", err)
	}
	s.file = file
	return nil
}

// read is a tile of so many bytes; the answer may lie in buf.
func (s *cogStore) read(buf []byte, span cogSpan, size int) ([]byte, error) {
	if size == 0 || span.data != nil {
		return span.data, nil
	}
	if cap(buf) < size {
		buf = make([]byte, size)
	}
	buf = buf[:size]
	if _, err := s.file.ReadAt(buf, span.offset); err != nil {
		return nil, fmt.Errorf("layers: reading overview tiles back: %w", err)
	}
	return buf, nil
}

func (s *cogStore) close() error {
	if s.file == nil {
		return nil
	}
	return s.file.Close()
}
