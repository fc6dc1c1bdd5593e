package layers

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"github.com/klauspost/compress/zlib"
)

// codecLevel is the DEFLATE level of stored tiles. On landscape-like cells, after
// the predictors, levels 3 to 6 are up to twice as slow as level 2 and save at
// most a tenth; from level 7 on the cost is several times that for a few per
// cent. BenchmarkTileLevels measures it.
const codecLevel = 2

// TileCodec compresses and decompresses tiles of TileSide by TileSide cells as a
// GeoTIFF stores them: DEFLATE (TIFF compression 8) after a predictor, which is
// the difference to the cell before for bytes (TIFF 6.0, section 14) and the
// floating-point predictor for floats (Adobe Photoshop TIFF Technical Note 3). A
// tile in which every cell is nodata is the empty tile, of no bytes.
//
// The same cells give the same bytes in every codec and process. A codec is for
// one goroutine.
type TileCodec struct {
	cells  CogCells
	nodata uint8
	raw    []byte // a tile's bytes as they are compressed
	out    sliceWriter
	writer *zlib.Writer
	source bytes.Reader
	reader io.ReadCloser
}

// NewTileCodec makes a codec; nodata is the byte that means nodata, and is not
// used for floats.
func NewTileCodec(cells CogCells, nodata uint8) *TileCodec {
	writer, err := zlib.NewWriterLevel(io.Discard, codecLevel)
	if err != nil {
		panic(err) // the level is a constant
	}
	return &TileCodec{cells: cells, nodata: nodata, writer: writer, raw: make([]byte, tileCells*cells.size())}
}

type sliceWriter struct{ b []byte }

func (w *sliceWriter) Write(p []byte) (int, error) {
	w.b = append(w.b, p...)
	return len(p), nil
}

// EncodeBytes appends a tile of bytes to dst. It panics if the cells are not one
// tile.
func (c *TileCodec) EncodeBytes(dst []byte, cells []uint8) []byte {
	c.mustHold(CogBytes, len(cells))
	if allBytes(cells, c.nodata) {
		return dst
	}
	for at := 0; at < tileCells; at += TileSide {
		predictBytes(c.raw[at:at+TileSide], cells[at:at+TileSide])
	}
	return c.deflate(dst, c.raw)
}

// EncodeFloats appends a tile of floats to dst. Every NaN is stored as the same
// NaN. It panics if the cells are not one tile.
func (c *TileCodec) EncodeFloats(dst []byte, cells []float32) []byte {
	c.mustHold(CogFloats, len(cells))
	if allNaN(cells) {
		return dst
	}
	for at := 0; at < tileCells; at += TileSide {
		predictFloats(c.raw[4*at:4*(at+TileSide)], cells[at:at+TileSide])
	}
	return c.deflate(dst, c.raw)
}

func (c *TileCodec) mustHold(cells CogCells, n int) {
	if cells != c.cells || n != tileCells {
		panic(fmt.Sprintf("layers: %d cells are not one tile of this codec", n))
	}
}

func (c *TileCodec) deflate(dst, raw []byte) []byte {
	c.out.b = dst
	c.writer.Reset(&c.out)
	if _, err := c.writer.Write(raw); err != nil {
		panic(err) // memory takes every byte
	}
	if err := c.writer.Close(); err != nil {
		panic(err)
	}
	dst, c.out.b = c.out.b, nil
	return dst
}

// DecodeBytes reads a tile of bytes into cells.
func (c *TileCodec) DecodeBytes(cells []uint8, tile []byte) error {
	c.mustHold(CogBytes, len(cells))
	if len(tile) == 0 {
		for i := range cells {
			cells[i] = c.nodata
		}
		return nil
	}
	if err := c.inflate(cells, tile); err != nil {
		return err
	}
	for at := 0; at < tileCells; at += TileSide {
		restoreBytes(cells[at : at+TileSide])
	}
	return nil
}

// DecodeFloats reads a tile of floats into cells.
func (c *TileCodec) DecodeFloats(cells []float32, tile []byte) error {
	c.mustHold(CogFloats, len(cells))
	if len(tile) == 0 {
		nan := float32(math.NaN())
		for i := range cells {
			cells[i] = nan
		}
		return nil
	}
	if err := c.inflate(c.raw, tile); err != nil {
		return err
	}
	for at := 0; at < tileCells; at += TileSide {
		restoreFloats(cells[at:at+TileSide], c.raw[4*at:4*(at+TileSide)])
	}
	return nil
}

// inflate fills raw from a tile that must hold exactly so many bytes.
func (c *TileCodec) inflate(raw, tile []byte) error {
	if err := c.open(tile); err != nil {
		return fmt.Errorf("layers: damaged tile: %w", err)
	}
	if _, err := io.ReadFull(c.reader, raw); err != nil {
		return fmt.Errorf("layers: damaged tile: %w", err)
	}
	var more [1]byte
	if n, err := c.reader.Read(more[:]); n != 0 || err != io.EOF {
		if err != nil && err != io.EOF {
			return fmt.Errorf("layers: damaged tile: %w", err)
		}
		return fmt.Errorf("layers: damaged tile: it holds more than %d bytes", len(raw))
	}
	return nil
}

func (c *TileCodec) open(tile []byte) (err error) {
	c.source.Reset(tile)
	if c.reader == nil {
		c.reader, err = zlib.NewReader(&c.source)
		return err
	}
	return c.reader.(zlib.Resetter).Reset(&c.source, nil)
}

func allBytes(cells []uint8, value uint8) bool {
	for _, v := range cells {
		if v != value {
			return false
		}
	}
	return true
}

func allNaN(cells []float32) bool {
	for _, v := range cells {
		if v == v {
			return false
		}
	}
	return true
}
