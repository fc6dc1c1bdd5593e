package tiles

import (
	"bufio"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
)

// spool holds the pictures of a pyramid until the archives are written: each
// different picture once, in a file without a name where the system allows it,
// so that a killed program leaves nothing behind.
type spool struct {
	file     *os.File
	buffered *bufio.Writer
	size     int64
	contents []span                    // by content number
	known    map[[sha256.Size]byte]int // content number by hash
	zooms    [MaxZoom + 1][]placed     // in Hilbert order
}

// span is where bytes lie in a file.
type span struct {
	offset int64
	length uint32
}

// placed is a tile and the number of its content.
type placed struct {
	tile    Tile
	content int
}

func newSpool(folder string) (*spool, error) {
	f, err := os.CreateTemp(folder, ".tiles-*.tmp")
	if err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	os.Remove(f.Name()) // it lives on until closed; where that is refused, close removes it
	return &spool{file: f, buffered: bufio.NewWriterSize(f, 1<<18), known: map[[sha256.Size]byte]int{}}, nil
}

func (s *spool) close() {
	s.file.Close()
	os.Remove(s.file.Name())
}

// keep adds a picture; those of one zoom must come in Hilbert order.
func (s *spool) keep(p picture) error {
	list := s.zooms[p.tile.Z]
	if n := len(list); n > 0 && list[n-1].tile.ID() >= p.tile.ID() {
		return fmt.Errorf("tiles: tile %s came after %s", p.tile, list[n-1].tile)
	}
	hash := sha256.Sum256(p.data)
	content, ok := s.known[hash]
	if !ok {
		content = len(s.contents)
		if _, err := s.buffered.Write(p.data); err != nil {
			return fmt.Errorf("tiles: %s: %w", filepath.Dir(s.file.Name()), err)
		}
		s.contents = append(s.contents, span{s.size, uint32(len(p.data))})
		s.size += int64(len(p.data))
		s.known[hash] = content
	}
	s.zooms[p.tile.Z] = append(list, placed{p.tile, content})
	return nil
}

func (s *spool) count() (tiles int) {
	for _, list := range s.zooms {
		tiles += len(list)
	}
	return tiles
}

// entry is a tile as an archive gets it. Contents are numbered from 0 in the
// order of their first tile; data is valid until the next entry.
type entry struct {
	tile    Tile
	content int
	first   bool // the first tile with this content
	length  uint32
	data    []byte // nil in a list
}

// list hands over all tiles without their data, zoom by zoom, in Hilbert order:
// an order that does not know how the work was shared out.
func (s *spool) list(ctx context.Context, do func(e entry, at span) error) error {
	renumber := make([]int, len(s.contents)) // 1 more than the number; 0 for none yet
	next := 0
	for _, tiles := range s.zooms {
		for _, p := range tiles {
			if err := ctx.Err(); err != nil {
				return err
			}
			first := renumber[p.content] == 0
			if first {
				next++
				renumber[p.content] = next
			}
			at := s.contents[p.content]
			e := entry{tile: p.tile, content: renumber[p.content] - 1, first: first, length: at.length}
			if err := do(e, at); err != nil {
				return err
			}
		}
	}
	return nil
}

// each hands over all tiles with their data, in the order of list.
func (s *spool) each(ctx context.Context, do func(entry) error) error {
	if err := s.buffered.Flush(); err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	var data []byte
	return s.list(ctx, func(e entry, at span) error {
		if cap(data) < int(at.length) {
			data = make([]byte, at.length)
		}
		e.data = data[:at.length]
		if _, err := s.file.ReadAt(e.data, at.offset); err != nil {
			return fmt.Errorf("tiles: %w", err)
		}
		return do(e)
	})
}
