package tiles

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"tussock/layers"
)

// writePMTiles stores tiles as a PMTiles archive, version 3: entries along the
// Hilbert curve, each different picture once, in the order of its first tile
// ("clustered"); directories and metadata gzipped, PNG as it is.
func writePMTiles(ctx context.Context, path string, tiles *spool, about label) error {
	index, err := indexPMTiles(ctx, tiles)
	if err != nil {
		return err
	}
	metadata, err := pmtilesMetadata(about)
	if err != nil {
		return err
	}
	root, leaves, err := directories(index.entries, pmtilesRootEnd-pmtilesHeaderSize)
	if err != nil {
		return err
	}
	head := index.header(about)
	head.place(len(root), len(metadata), len(leaves), index.size)
	return layers.Publish(path, func(w io.Writer) error {
		for _, part := range [][]byte{head.encode(), root, metadata, leaves} {
			if _, err := w.Write(part); err != nil {
				return fmt.Errorf("tiles: %w", err)
			}
		}
		return tiles.each(ctx, func(e entry) error {
			if !e.first {
				return nil
			}
			_, err := w.Write(e.data)
			return err
		})
	})
}

// pmtilesIndex is what the directories and the header say of the tiles.
type pmtilesIndex struct {
	entries             []dirEntry
	addressed, contents uint64
	size                uint64 // of all contents
}

// indexPMTiles makes one entry of each run of tiles that follow each other on
// the curve and look the same.
func indexPMTiles(ctx context.Context, tiles *spool) (*pmtilesIndex, error) {
	index := &pmtilesIndex{}
	var offsets []uint64 // by content
	last := -1
	err := tiles.list(ctx, func(e entry, _ span) error {
		if e.first {
			offsets = append(offsets, index.size)
			index.size += uint64(e.length)
		}
		index.addressed++
		id := e.tile.ID()
		if n := len(index.entries); n > 0 && e.content == last {
			if prev := &index.entries[n-1]; prev.id+uint64(prev.run) == id && prev.run < math.MaxUint32 {
				prev.run++
				return nil
			}
		}
		last = e.content
		index.entries = append(index.entries, dirEntry{id: id, offset: offsets[e.content], length: e.length, run: 1})
		return nil
	})
	index.contents = uint64(len(offsets))
	return index, err
}

func (x *pmtilesIndex) header(about label) pmtilesHeader {
	middle, zoom := about.middle()
	return pmtilesHeader{
		addressed: x.addressed, entries: uint64(len(x.entries)), contents: x.contents,
		clustered: true, internalCompression: compressionGzip, tileCompression: compressionNone, tileType: tileTypePNG,
		minZoom: uint8(about.min), maxZoom: uint8(about.max), bound: about.bound,
		centreZoom: uint8(zoom), centre: middle,
	}
}

// pmtilesMetadata is the JSON object that travels in the archive.
func pmtilesMetadata(about label) ([]byte, error) {
	text, err := json.Marshal(struct {
		Name        string `json:"name"`
		Description string `json:"description,omitempty"`
		Attribution string `json:"attribution,omitempty"`
		Type        string `json:"type"`
		Version     string `json:"version,omitempty"`
		Audience    string `json:"audience"`
		TileSize    int    `json:"tileSize"`
	}{about.Name, about.Description, about.Attribution, "overlay", about.Version, about.audience.String(), about.size})
	if err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	return zipped(text)
}
