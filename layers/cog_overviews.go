package layers

import (
	"fmt"
	"math"
)

// overviewBuilder makes the tiles of a level from the level below: it decodes
// four tiles into a square, halves it, and encodes the result.
type overviewBuilder struct {
	spec   CogSpec
	store  *cogStore
	codec  *TileCodec
	buf    []byte // a tile read back
	out    []byte // a tile compressed
	bytes  cogSquare[uint8]
	floats cogSquare[float32]
}

// cogSquare is 2×2 tiles of cells, one of them on its own, and the half.
type cogSquare[T uint8 | float32] struct {
	cells, tile, half []T
	nodata            T
}

func newSquare[T uint8 | float32](nodata T) cogSquare[T] {
	return cogSquare[T]{
		cells: make([]T, 4*tileCells), tile: make([]T, tileCells), half: make([]T, tileCells), nodata: nodata,
	}
}

func newOverviewBuilder(spec CogSpec, store *cogStore) *overviewBuilder {
	b := &overviewBuilder{spec: spec, store: store, codec: NewTileCodec(spec.Cells, spec.Nodata)}
	if spec.Cells == CogFloats {
		b.floats = newSquare(float32(math.NaN()))
	} else {
		b.bytes = newSquare(spec.Nodata)
	}
	return b
}

// build fills a level from the one below it.
func (b *overviewBuilder) build(upper, lower *cogLevel) error {
	for row := range upper.down {
		for col := range upper.across {
			if err := b.tile(upper, lower, col, row); err != nil {
				return err
			}
		}
	}
	return nil
}

func (b *overviewBuilder) tile(upper, lower *cogLevel, col, row int) (err error) {
	if lower.emptyBelow(col, row) {
		_, err = upper.take(col, row, 0)
		return err
	}
	if b.spec.Cells == CogFloats {
		if err = gather(b, &b.floats, b.codec.DecodeFloats, lower, col, row); err == nil {
			ReduceAverageFloats(b.floats.half, b.floats.cells, 2*TileSide, 2*TileSide)
			b.out = b.codec.EncodeFloats(b.out[:0], b.floats.half)
		}
	} else {
		if err = gather(b, &b.bytes, b.codec.DecodeBytes, lower, col, row); err == nil {
			b.reduceBytes()
			b.out = b.codec.EncodeBytes(b.out[:0], b.bytes.half)
		}
	}
	if err != nil {
		return err
	}
	i, err := upper.take(col, row, len(b.out))
	if err != nil {
		return err
	}
	upper.spans[i], err = b.store.add(b.out)
	return err
}

func (b *overviewBuilder) reduceBytes() {
	reduce := ReduceAverage
	if b.spec.Overviews == Majority {
		reduce = ReduceMode
	}
	reduce(b.bytes.half, b.bytes.cells, 2*TileSide, 2*TileSide, b.spec.Nodata)
}

// gather lays the four tiles below (col, row) side by side; what lies outside
// the level is nodata, whatever a tile's padding says.
func gather[T uint8 | float32](b *overviewBuilder, s *cogSquare[T], decode func([]T, []byte) error, lower *cogLevel, col, row int) error {
	for i := range s.cells {
		s.cells[i] = s.nodata
	}
	for quarter := range 4 {
		c, r := 2*col+quarter%2, 2*row+quarter/2
		if c >= lower.across || r >= lower.down {
			continue
		}
		i := r*lower.across + c
		raw, err := b.store.read(b.buf, lower.spans[i], int(lower.sizes[i]))
		if err != nil {
			return err
		}
		if len(raw) == 0 {
			continue
		}
		if err := decode(s.tile, raw); err != nil {
			return fmt.Errorf("%w: overview tile in column %d, row %d of %d by %d cells: %w", ErrCog, c, r, lower.cols, lower.rows, err)
		}
		s.place(quarter, min(TileSide, lower.cols-c*TileSide), min(TileSide, lower.rows-r*TileSide))
	}
	return nil
}

// place copies the first cols by rows cells of the tile into a quarter.
func (s *cogSquare[T]) place(quarter, cols, rows int) {
	at := quarter/2*TileSide*2*TileSide + quarter%2*TileSide
	for row := range rows {
		copy(s.cells[at+row*2*TileSide:][:cols], s.tile[row*TileSide:])
	}
}
